"""A pattern made over, told on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from cli import console

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from catalog.cutting.adapted.adapted_block import AdaptedBlock
    from catalog.cutting.quilt_sizes.filled_layout import Filled

COLUMNS: Final = ("piece", "as written", "with your squares", "to spare, or what doesn't fit")
CUT_COLUMNS: Final = ("from", "cut", "size", "how many", "trim the unit")
OFFER_COLUMNS: Final = ("for", "what to buy instead")
BUY_COLUMNS: Final = ("for", "what to buy", "of it to spare")


def tell(title: str, adapted: AdaptedPattern, *, cm: bool) -> None:
    """Tell everything."""
    from catalog.cutting.adapted.cautions import CAUTIONS
    from catalog.cutting.adapted.packs import pack_lines

    unit = "cm" if cm else "inches"
    rows = [(row.piece, row.written, row.yours, row.remark) for row in adapted.rows]
    console.table(f"{title}, made over ({unit})", COLUMNS, rows, words=4)
    console.say("")
    for line in fit_lines(adapted, cm=cm):
        console.tell(line)
    console.say("")
    console.table("What to cut", CUT_COLUMNS, cut_rows(adapted, cm=cm), words=5)
    console.say("")
    for line in strip_lines(adapted):
        console.tell(line)
    console.say("")
    console.table("What to buy", BUY_COLUMNS, buy_rows(adapted), words=2)
    console.say("")
    if ready_cut := offer_rows(adapted):
        console.table("Or ready cut, least lost first", OFFER_COLUMNS, ready_cut, words=2)
        console.say("")
    for line in pack_lines(adapted.packs, adapted.stock.pinked):
        console.tell(line)
    console.say("")
    for line in (*size_lines(adapted), "", "Before you cut:", *(f"  {line}" for line in CAUTIONS)):
        console.tell(line)


def fit_lines(adapted: AdaptedPattern, *, cm: bool) -> list[str]:
    """Say whether the pattern fits the squares, and what to do where it doesn't."""
    from catalog.cutting.adapted.comparison import shown

    block, lines = adapted.block, []
    finished, largest = (shown(one, cm=cm, mark=True) for one in (block.finished, block.largest))
    if block.asked:
        lines.append(
            f"Blocks of {finished} finished, as you asked for: all that hangs on it is above."
        )
    elif block.trims_as_written:
        lines.append("Your squares reach the written sizes.")
    elif any(not row.fits for row in adapted.rows):
        lines.append(
            "Your squares don't reach the written sizes: the largest block they give finishes at "
            f"{largest}, and all that hangs on it follows above."
        )
    if block.largest > block.finished:
        lines.append(f"They could give blocks of up to {largest} finished (see --finished).")
    return [*lines, *_unit_lines(block)]


def _unit_lines(block: AdaptedBlock) -> list[str]:
    """Say of each unit what to know of its edges and how it is trimmed."""
    bias = {unit.method.unit: unit.method.bias for unit in block.units if unit.method.bias}
    caution = {unit.method.unit: unit.method.caution for unit in block.units}
    trims = {unit.method.unit: unit.method.trimming for unit in block.units}
    return [
        f"{name.replace('-', ' ')}: {words[0].lower()}{words[1:]}"
        for name, words in (*bias.items(), *caution.items(), *trims.items())
        if words
    ]


def cut_rows(adapted: AdaptedPattern, *, cm: bool) -> list[tuple[str, ...]]:
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
        for cut in adapted.cuts
    ]


def buy_rows(adapted: AdaptedPattern) -> list[tuple[str, ...]]:
    """Rows for `BUY_COLUMNS`; batting comes in packages and has nothing to straighten."""
    from catalog.report.pages.html_views import length_words

    return [
        (buy.cloth, buy.words, length_words(buy.spare) if buy.spare else "") for buy in adapted.buys
    ]


def offer_rows(adapted: AdaptedPattern) -> list[tuple[str, ...]]:
    """Rows for `OFFER_COLUMNS`: what is to be bought by the yard, as precuts."""
    from catalog.cutting.layouts.precut_offers import least_lost

    return [
        (buy.cloth, offer.words)
        for buy in adapted.buys
        if buy.bought
        for offer in least_lost(buy.offers)
    ]


def strip_lines(adapted: AdaptedPattern) -> list[str]:
    """Say how the squares and the strips are cut up."""
    squares = [
        f"{cut.piece}: {cut.how}." for cut in adapted.cuts if cut.cloth.startswith("squares")
    ]
    lines = [f"{buy.cloth}: {line}." for buy in adapted.buys for line in buy.plan]
    strips = [f"  {number}. {line}" for number, line in enumerate(lines, 1)]
    order = ["In this order, of each cloth the large before the small:"] if strips else []
    stacked = [f"{buy.cloth}: {buy.stacked}." for buy in adapted.buys if buy.stacked]
    laid = dict.fromkeys(f"{cut.cloth}: {cut.note}." for cut in adapted.cuts if cut.note)
    return [*squares, *order, *strips, *stacked, *laid]


def size_lines(adapted: AdaptedPattern) -> list[str]:
    """Say how large a quilt the sets make, and what each further step would need."""
    from catalog.cutting.quilt_sizes.quilt_layout import layout_words

    if adapted.chosen is None:
        near = f", {bed_words(adapted)}" if adapted.bed else ""
        words = f"The quilt: {layout_words(adapted.layout)}{near}."
        return [f"{words} Give --sets to hear what yours make."]
    lines = [f"The quilt: {adapted.chosen.words}."]
    if adapted.fills:
        lines += ["Your sets fill:", *_bulleted(adapted.fills)]
    lines += ["A step further:", *_bulleted(adapted.steps)]
    lines += ["Nearest to the usual sizes:", *_bulleted(adapted.usual)]
    return lines


def bed_words(adapted: AdaptedPattern) -> str:
    """Say how far off the bed's size the quilt is."""
    from catalog.cutting.quilt_sizes.filled_layout import near_words, nearest_usual

    return near_words(*nearest_usual(adapted.layout, (adapted.bed,))) if adapted.bed else ""


def _bulleted(many: Sequence[Filled]) -> list[str]:
    return [f"  {one.words}." for one in many]
