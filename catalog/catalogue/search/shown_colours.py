"""Which squares of one bundle show a colour that is named among other words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from catalog.bundle.tally_notes import COUNTED_TO
from catalog.catalogue.search.near_colours import COST_OF_SHARE
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.colour_names import everyday_words, name_colours
from catalog.colour.colour_words import NamedColour, colour_of_words
from catalog.errors import UsageError
from catalog.models import Lab, Swatch

MAX_WORDS: Final = 12
"""Words of a text among which a colour is looked for (choice of ours)."""


@dataclass(frozen=True)
class ShownColour:
    """A colour named in a text, and the squares that show it."""

    colour: str = ""
    """What it was taken for; empty where no colour was named."""
    rest: tuple[str, ...] = ()
    """The other words, in lower case."""
    labels: tuple[str, ...] = ()
    """Labels of the squares."""


def squares_showing(swatches: Sequence[Swatch], text: str) -> ShownColour:
    """Return the squares that show a colour that a text names.

    A square shows it if one of its colours is called so, by standard or everyday words, or differs
    from it by less than what is clearly different; a colour that makes up little of its square
    counts as further away (see `catalog.catalogue.search.near_colours`).

    Parameters
    ----------
    swatches : sequence of Swatch
    text : str
        Such as ``pink print``; of several runs of words that are colours, the longest is meant.
    """
    words = text.lower().split()[:MAX_WORDS]
    found = _colour_among(words)
    if found is None or not swatches:
        return ShownColour(rest=tuple(words))
    meant, start, end = found
    parts = [(n, part) for n, one in enumerate(swatches) for part in one.colours_seen("hand")]
    colours = np.array([part.lab for _, part in parts], np.float64)
    shares = np.array([max(part.share, 1e-3) for _, part in parts])
    near = ciede2000(np.array(meant.lab), colours) - COST_OF_SHARE * np.log10(shares) < COUNTED_TO
    wanted = {_spelt(word) for word in words[start:end]}
    named = [
        wanted <= said or wanted <= usual
        for said, usual in _names(tuple(part.lab for _, part in parts))
    ]
    owners = {
        n for (n, _), close, called in zip(parts, near, named, strict=True) if close or called
    }
    labels = tuple(swatches[n].label for n in sorted(owners))
    return ShownColour(meant.words, (*words[:start], *words[end:]), labels)


def _colour_among(words: Sequence[str]) -> tuple[NamedColour, int, int] | None:
    """Return the colour that the longest run of words means, and where the run begins and ends."""
    for many in range(len(words), 0, -1):
        for start in range(len(words) - many + 1):
            try:
                meant = colour_of_words(" ".join(words[start : start + many]))
            except UsageError:
                continue
            return meant, start, start + many
    return None


@lru_cache(maxsize=4)
def _names(colours: tuple[Lab, ...]) -> tuple[tuple[frozenset[str], frozenset[str]], ...]:
    """Return the words of each colour's standard and everyday name.

    Those of the last few bundles are remembered: at 1,000 squares naming takes half a second.
    """
    everyday = everyday_words()
    return tuple((_words(name), _words(everyday[name])) for name in name_colours(np.array(colours)))


def _words(name: str) -> frozenset[str]:
    return frozenset(map(_spelt, name.split()))


def _spelt(word: str) -> str:
    return word.replace("grey", "gray")
