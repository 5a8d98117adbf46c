"""A pattern made over, told on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from cli import console

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from catalog.cutting.quilt_sizes.filled_layout import Filled

COLUMNS: Final = ("piece", "as written", "with your squares", "to spare, or what doesn't fit")
CUT_COLUMNS: Final = ("from", "cut", "size", "how many", "trim the unit")
BUY_COLUMNS: Final = ("for", "what to buy", "of it to spare")


def tell(title: str, made: AdaptedPattern, *, cm: bool) -> None:
    """Tell everything."""
    from catalog.cutting.adapted.cautions import CAUTIONS

    unit = "cm" if cm else "inches"
    rows = [(row.piece, row.written, row.yours, row.remark) for row in made.rows]
    console.table(f"{title}, made over ({unit})", COLUMNS, rows, words=4)
    console.say("")
    for line in verdict(made, cm=cm):
        console.tell(line)
    console.say("")
    console.table("What to cut", CUT_COLUMNS, cut_rows(made, cm=cm), words=5)
    console.say("")
    for line in strip_lines(made):
        console.tell(line)
    console.say("")
    console.table("What to buy", BUY_COLUMNS, buy_rows(made), words=2)
    console.say("")
    for line in (*size_lines(made), "", "Before you cut:", *(f"  {line}" for line in CAUTIONS)):
        console.tell(line)


def verdict(made: AdaptedPattern, *, cm: bool) -> list[str]:
    """Say whether the pattern fits the squares, and what to do where it doesn't."""
    from catalog.cutting.adapted.comparison import shown

    lines = []
    if made.block.asked:
        asked = shown(made.block.finished, cm=cm, mark=True)
        lines.append(
            f"Blocks of {asked} finished, as you asked for: all that hangs on it is above."
        )
    elif made.block.trims_as_written:
        lines.append("Your squares reach the written sizes.")
    elif any(not row.fits for row in made.rows):
        lines.append(
            "Your squares don't reach the written sizes: the largest block they give finishes at "
            f"{shown(made.block.largest, cm=cm, mark=True)}, "
            "and all that hangs on it follows above."
        )
    if made.block.largest > made.block.finished:
        largest = shown(made.block.largest, cm=cm, mark=True)
        lines.append(f"They could give blocks of up to {largest} finished (see --finished).")
    bias = {unit.method.unit: unit.method.bias for unit in made.block.units if unit.method.bias}
    trims = {unit.method.unit: unit.method.trimming for unit in made.block.units}
    lines += [
        f"{name.replace('-', ' ')}: {words[0].lower()}{words[1:]}"
        for name, words in (*bias.items(), *trims.items())
        if words
    ]
    return lines


def cut_rows(made: AdaptedPattern, *, cm: bool) -> list[tuple[str, ...]]:
    """Rows for `CUT_COLUMNS`."""
    from catalog.cutting.adapted.comparison import shown_pair

    return [
        (
            cut.cloth,
            cut.piece,
            shown_pair((cut.width, cut.length), cm=cm),
            str(cut.count),
            cut.trim,
        )
        for cut in made.cuts
    ]


def buy_rows(made: AdaptedPattern) -> list[tuple[str, ...]]:
    """Rows for `BUY_COLUMNS`; batting comes in packages and has nothing to straighten."""
    from catalog.report.pages.html_views import length_words

    return [
        (buy.cloth, buy.words, length_words(buy.spare) if buy.spare else "") for buy in made.buys
    ]


def strip_lines(made: AdaptedPattern) -> list[str]:
    """Say how the squares and the strips are cut up."""
    squares = [f"{cut.piece}: {cut.how}." for cut in made.cuts if cut.cloth.startswith("squares")]
    strips = [f"{buy.cloth}: {line}." for buy in made.buys for line in buy.plan]
    laid = dict.fromkeys(f"{cut.cloth}: {cut.note}." for cut in made.cuts if cut.note)
    return [*squares, *strips, *laid]


def size_lines(made: AdaptedPattern) -> list[str]:
    """Say how large a quilt the sets make, and what each further step would need."""
    from catalog.cutting.quilt_sizes.quilt_layout import layout_words

    if made.chosen is None:
        return [f"The quilt: {layout_words(made.layout)}. Give --sets to hear what yours make."]
    lines = [f"The quilt: {made.chosen.words}."]
    if made.fills:
        lines += ["Your sets fill:", *_bulleted(made.fills)]
    lines += ["A step further:", *_bulleted(made.steps)]
    lines += ["Nearest to the usual sizes:", *_bulleted(made.usual)]
    return lines


def _bulleted(many: Sequence[Filled]) -> list[str]:
    return [f"  {one.words}." for one in many]
