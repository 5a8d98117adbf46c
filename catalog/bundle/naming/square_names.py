"""A square's name as a person gives it: ``white with pink, aqua and green, large print``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final, get_args

from catalog.bundle.naming.fabric_colours import looks_named
from catalog.bundle.naming.print_colours import PrintColour, print_colours
from catalog.bundle.naming.telling_colours import (
    MIN_SPEAKING_SHARE,
    TellingColour,
    of_one_hue,
    prominence,
    telling_colours,
)
from catalog.colour import lab
from catalog.colour.colour_names import everyday_words
from catalog.models import ColourTerms, Motif, PrintLook, Swatch
from catalog.phrases import joined

MAX_NAMED: Final = 3
"""Colours that are named beside a print's ground, or in all where it has none."""
SHADE_WEIGHT: Final = 0.5
"""How much a colour counts of which another shade is named, beside one of another hue (choice of
ours): a third hue says more of a print than a second green."""
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
    several, told = print_colours(swatches), telling_colours(swatches)
    return tuple(
        replace(one, colour_name=_name(colours, telling, look, terms))
        for one, colours, telling, look in zip(
            swatches, several, told, looks_named(swatches), strict=True
        )
    )


def short_name(name: str) -> str:
    """Return a square's name for where there is little room: ``white with pink and green``.

    Of several colours each one's last word stays, which says its hue; of the print nothing.
    """
    only, *more = terms_of(name) or [name]
    if not more:
        return only
    ground, figures = ([term.split()[-1] for term in part] for part in _parts(name))
    told = list(dict.fromkeys(ground)), [hue for hue in dict.fromkeys(figures) if hue not in ground]
    return " with ".join(filter(None, map(joined, told)))


def terms_of(name: str) -> tuple[str, ...]:
    """Return the colours that a square's name names, in its order."""
    ground, figures = _parts(name)
    return (*ground, *figures)


def kind_of_print(look: PrintLook) -> str:
    """Return what kind of print a square has, such as ``small check``; empty where it is plain."""
    if look.scale == "plain":
        return look.motif
    if look.scale == "tonal":
        return " ".join(filter(None, (look.scale, look.motif)))
    return f"{look.scale} {look.motif or 'print'}"


def _parts(name: str) -> tuple[list[str], list[str]]:
    """Return the colours before and after ``with`` in a square's name."""
    before, _, after = name.partition(" with ")
    ground, figures = (
        [term for term in part.replace(" and ", ", ").split(", ") if term and not _of_print(term)]
        for part in (before, after)
    )
    return ground, figures


def _name(
    colours: Sequence[PrintColour],
    telling: TellingColour,
    look: PrintLook | None,
    terms: ColourTerms,
) -> str:
    """Return the name of a square of these colours, largest share first."""
    words = everyday_words() if terms == "everyday" else {one.name: one.name for one in colours}
    ground = next((one for one in colours if one.ground), None)
    behind = words[ground.name] if ground else ""
    figures: dict[str, _Figure] = {}
    for one, must in zip(colours, _musts(colours, telling), strict=True):
        word, weight = words[one.name], one.share * (GREY_SPEAKS + float(lab.chroma(one.lab)))
        if word != behind and one.share >= MIN_SPEAKING_SHARE:
            same = figures.get(word, _Figure(word, one.name.rsplit(maxsplit=1)[-1]))
            figures[word] = replace(same, weight=same.weight + weight, must=same.must or must)
    told = _most_important(figures.values(), {ground.name.split()[-1]} if ground else set())
    seen = " with ".join(filter(None, (behind, joined(told))))
    return ", ".join(filter(None, (seen, kind_of_print(look) if look else "")))


@dataclass(frozen=True)
class _Figure:
    """A colour that may be named beside a print's ground."""

    word: str
    hue: str
    """Its standard name without what says how light or vivid it is."""
    weight: float = 0.0
    must: bool = False


def _most_important(figures: Iterable[_Figure], hues: set[str]) -> list[str]:
    """Return the words for figures that are named, another hue before a shade of one named."""

    def rank(one: _Figure) -> tuple[bool, float, str]:
        return not one.must, -one.weight * (SHADE_WEIGHT if one.hue in hues else 1.0), one.word

    left = list(figures)
    chosen: list[_Figure] = []
    while left and len(chosen) < MAX_NAMED:
        chosen.append(min(left, key=rank))
        left.remove(chosen[-1])
        hues.add(chosen[-1].hue)
    return [one.word for one in sorted(chosen, key=lambda one: (-one.weight, one.word))]


def _musts(colours: Sequence[PrintColour], telling: TellingColour) -> list[bool]:
    """Return which colours a name has to hold: the largest, and where the square is looked for."""
    outside = prominence(colours) * ~of_one_hue(colours)
    other = colours[int(outside.argmax())].name if telling.multicoloured else ""
    return [one.name in {colours[0].name, telling.name, other} for one in colours]


def _of_print(term: str) -> bool:
    """Tell whether a part of a name is of the print, not a colour."""
    return term.rsplit(maxsplit=1)[-1] in {*get_args(Motif), "print", "tonal"}
