"""A square's name as a person gives it: ``white with pink, aqua and green, large print``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Final, get_args

from catalog.bundle.naming.print_colours import PrintColour, print_colours
from catalog.bundle.naming.telling_colours import (
    MIN_SPEAKING_SHARE,
    of_one_hue,
    prominence,
    telling_colour,
)
from catalog.colour import lab
from catalog.colour.colour_names import published
from catalog.models import ColourTerms, Motif, PrintLook, Swatch
from catalog.phrases import joined

MAX_NAMED: Final = 3
"""Colours that are named beside a print's ground, or in all where it has none."""
GREY_SPEAKS: Final = 20.0
"""Chroma that is added to each colour's before it weighs its share, so that black, white and grey
figures are named too: that from which a hue is vivid (choice of ours)."""


def tell_names(swatches: Sequence[Swatch], terms: ColourTerms = "standard") -> tuple[Swatch, ...]:
    """Name squares by their colours, the most important first, and by the kind of their print.

    Parameters
    ----------
    swatches : sequence of Swatch
        Measured; in any order.
    terms : {"standard", "everyday"}
        Terms of the ISCC-NBS system (NBS SP 440), or shorter words (``cloth_words.csv``).

    Returns
    -------
    tuple of Swatch
        In the order given, with ``colour_name`` set. Each name holds the colour by which its square
        is looked for (see `telling_colours`); a plain square's is its mean colour's.
    """
    several = print_colours(swatches)
    return tuple(
        replace(one, colour_name=_name(colours, one.look, terms))
        for one, colours in zip(swatches, several, strict=True)
    )


def short_name(name: str) -> str:
    """Return a square's name for where there is little room: ``white with pink and green``.

    Of each colour the last word stays, which says its hue; of the print nothing.
    """
    ground, figures = ([term.split()[-1] for term in part] for part in _parts(name))
    told = list(dict.fromkeys(ground)), [hue for hue in dict.fromkeys(figures) if hue not in ground]
    return " with ".join(filter(None, map(joined, told)))


def terms_of(name: str) -> tuple[str, ...]:
    """Return the colours that a square's name names, in its order."""
    ground, figures = _parts(name)
    return (*ground, *figures)


def _parts(name: str) -> tuple[list[str], list[str]]:
    """Return the colours before and after ``with`` in a square's name."""
    before, _, after = name.partition(" with ")
    ground, figures = (
        [term for term in part.replace(" and ", ", ").split(", ") if term and not _of_print(term)]
        for part in (before, after)
    )
    return ground, figures


def _name(colours: Sequence[PrintColour], look: PrintLook | None, terms: ColourTerms) -> str:
    """Return the name of a square of these colours, largest share first."""
    words = [_everyday()[one.name] if terms == "everyday" else one.name for one in colours]
    ground = next((word for one, word in zip(colours, words, strict=True) if one.ground), "")
    weights: dict[str, float] = {}
    musts = set()
    for one, word, must in zip(colours, words, _looked_for(colours), strict=True):
        if word != ground and one.share >= MIN_SPEAKING_SHARE:
            speaks = one.share * (GREY_SPEAKS + float(lab.chroma(one.lab)))
            weights[word] = weights.get(word, 0.0) + speaks
            musts.update([word] if must else [])
    chosen = sorted(weights, key=lambda word: (word not in musts, -weights[word], word))[:MAX_NAMED]
    told = joined(sorted(chosen, key=lambda word: (-weights[word], word)))
    seen = " with ".join(filter(None, (ground, told)))
    return ", ".join(filter(None, (seen, _print(look))))


def _looked_for(colours: Sequence[PrintColour]) -> list[bool]:
    """Return which colours say where a square is looked for: of a multicoloured one two."""
    telling = telling_colour(colours)
    outside = prominence(colours) * ~of_one_hue(colours)
    other = colours[int(outside.argmax())].name if telling.multicoloured else ""
    return [one.name in {telling.name, other} for one in colours]


def _print(look: PrintLook | None) -> str:
    """Return what kind of print a square is; empty where it is plain or nobody knows."""
    if look is None or look.scale == "plain":
        return look.motif if look else ""
    if look.scale == "tonal":
        return " ".join(filter(None, (look.scale, look.motif)))
    return f"{look.scale} {look.motif or 'print'}"


def _of_print(term: str) -> bool:
    """Tell whether a part of a name is of the print, not a colour."""
    return term.rsplit(maxsplit=1)[-1] in {*get_args(Motif), "print", "tonal"}


@cache
def _everyday() -> dict[str, str]:
    """Return by the names of the ISCC-NBS system the words for them."""
    return {row["name"]: row["word"] for row in published("cloth_words.csv")}
