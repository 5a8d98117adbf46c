"""Cards to cut out and clip on: one for each set, one for each place on the wall."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, TypeVar, get_args

from catalog.cutting.plans import WallBlock
from catalog.errors import UsageError
from catalog.models import Paper, SquareSet
from catalog.phrases import joined
from catalog.report.pages.card_page import MARGIN, SOFT, CardPage
from catalog.report.pages.html_views import difference_words, step_words, turn_words
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.palette_bars import runs_one_way
from catalog.report.pictures.crops import square_pictures

PAPERS: Final[tuple[str, ...]] = get_args(Paper)
SET_GRID: Final = (2, 4)
"""Columns and rows of set cards on a page."""
PLACE_GRID: Final = (3, 6)
BYTES_EACH: Final = 16_000
"""For a square's picture."""
EDGE_MM: Final = 4.0
"""Millimetres inside a card that stay free, for a cut that isn't straight."""
CROP_MM: Final = 23.0
"""Millimetres of a square's side on a set card, where there is room."""
SMALL_CROP_MM: Final = 9.5
MAX_SMALL_CROPS: Final = 4
"""Squares shown on a place label."""
CLIP_MM: Final = 6.0
"""Millimetres on top of a place label that stay free for the clip."""

T = TypeVar("T")


@dataclass(frozen=True)
class _Card:
    """Where on its page a card lies, mm."""

    x: float
    y: float
    wide: float
    high: float


def cards_pdf(sheets: Sheets, paper: Paper = "A4") -> bytes:
    """Return the cards as a PDF.

    Parameters
    ----------
    sheets : Sheets
        Letters that the cards' font lacks are written another way (see `font_text`).
    paper : {"A4", "Letter"}

    Returns
    -------
    bytes
        First the set cards, the darkest square first on each, then the place labels if there is a
        plan of the wall.

    Raises
    ------
    UsageError
        Another paper.
    """
    if paper not in PAPERS:
        raise UsageError(f"cards can't be laid out on '{paper}'", "choose A4 or Letter")
    blocks = [block for block in (sheets.wall.blocks if sheets.wall else ()) if block.squares]
    used = {label for one in sheets.sets for label in one.swatches}
    used |= {label for block in blocks for _, label in block.squares}
    shown = [swatch for swatch in sheets.swatches if swatch.label in used]
    crops = square_pictures(shown, sheets.photos, sheets.crops, BYTES_EACH * max(1, len(shown)))
    with CardPage(paper, sheets.title, crops, sheets.terms) as page:
        _lay_out(page, SET_GRID, sheets.sets, lambda card, one: _set_card(page, card, sheets, one))
        _lay_out(page, PLACE_GRID, blocks, lambda card, one: _place_label(page, card, sheets, one))
        if not sheets.sets and not blocks:
            page.begin()
            page.write(20, 30, "No sets yet, so there are no cards to cut out.", 12)
        return page.finished()


def _lay_out(
    page: CardPage, grid: tuple[int, int], items: Sequence[T], draw: Callable[[_Card, T], None]
) -> None:
    """Draw cards row by row, and the lines to cut them apart."""
    columns, rows = grid
    wide, high = (page.wide - 2 * MARGIN) / columns, (page.high - 2 * MARGIN) / rows
    for first in range(0, len(items), columns * rows):
        here = items[first : first + columns * rows]
        page.begin()
        used = -(-len(here) // columns)
        for column in range(columns + 1):
            page.cut(MARGIN + column * wide, 3, MARGIN + column * wide, MARGIN + used * high + 7)
        for row in range(used + 1):
            page.cut(3, MARGIN + row * high, page.wide - 3, MARGIN + row * high)
        for number, item in enumerate(here):
            row, column = divmod(number, columns)
            draw(_Card(MARGIN + column * wide, MARGIN + row * high, wide, high), item)


def _set_card(page: CardPage, card: _Card, sheets: Sheets, one: SquareSet) -> None:
    """Draw a set's number and place, its squares, and what to know of them."""
    left, right, foot = (
        card.x + EDGE_MM,
        card.x + card.wide - EDGE_MM,
        card.y + card.high - EDGE_MM,
    )
    half = (right - left) / 2 - 2
    page.write(left, card.y + 9.5, f"Set {one.number}", 17, bold=True, room=half)
    places = sheets.places.get(one.number, ())
    if places:
        words = f"on the wall: {', '.join(places)}"
        page.write(right, card.y + 9.5, words, 13, bold=True, room=half, to_left=True)
    goes = _where_squares_go(sheets, one)
    column = (right - left) / max(2, len(one.swatches))
    for number, label in enumerate(one.swatches):
        x = left + number * column
        _set_square(page, sheets, label, goes.get(label, ""), (x, card.y + 13, column - 2))
    words = f"{difference_words(one)}; {step_words(one.value_step)}".strip("; ")
    remarks = ", ".join((words, *one.flags))
    page.write(left, foot - 6, remarks, 7.5, room=right - left)
    page.tick(left, foot, "sewn")
    names = " · ".join(filter(None, (one.need, sheets.title)))
    page.write(right, foot - 1.1, names, 7.5, room=right - left - 22, grey=SOFT, to_left=True)


def _set_square(
    page: CardPage, sheets: Sheets, label: str, goes: str, where: tuple[float, float, float]
) -> None:
    """Draw one square of a set in its column of the card (x, y, width)."""
    x, y, room = where
    side = min(CROP_MM, room)
    swatch = sheets.by_label.get(label)
    if swatch is not None:
        page.square(swatch, x, y, side)
    base = y + page.height_of(side) + 3.5
    way = ", runs one way" if swatch and runs_one_way(swatch) else ""
    value = f"{swatch.value}{way}" if swatch else ""
    wide = page.write(x, base, label, 9, bold=True, room=room)
    if room - wide > 4:
        page.write(x + wide + 1.2, base, value, 7.5, room=room - wide - 1.2)
    if goes:
        page.write_lines(x, base + 3.4, f"goes {goes}", 7.5, room=room, lines=2)


def _where_squares_go(sheets: Sheets, one: SquareSet) -> dict[str, str]:
    """Return by label where in its block a square of a set goes."""
    goes: dict[str, str] = {}
    for block in sheets.wall.blocks if sheets.wall else ():
        if one.number in block.sets:
            goes |= {block.darker: block.darker_goes, block.lighter: block.lighter_goes}
    return goes


def _place_label(page: CardPage, card: _Card, sheets: Sheets, block: WallBlock) -> None:
    """Draw a place's name, its squares, how it is turned and pressed."""
    left, right, foot = (
        card.x + EDGE_MM,
        card.x + card.wide - EDGE_MM,
        card.y + card.high - 3,
    )
    page.fold(card.x, card.y + CLIP_MM, card.x + card.wide, card.y + CLIP_MM)
    page.write(left, card.y + CLIP_MM - 2, "clip here", 6, grey=SOFT)
    page.write(right, card.y + CLIP_MM - 2, sheets.title, 6, room=40, grey=SOFT, to_left=True)
    page.write(left, card.y + 14.5, block.place, 22, bold=True, room=17)
    sets = " and ".join(str(number) for number in block.sets)
    if sets:
        page.write(left, card.y + 18.7, f"Set {sets}", 8.5, room=17)
    labels = [label for _, label in block.squares if label in sheets.by_label]
    labels.sort(key=lambda label: sheets.by_label[label].lab[0])
    x = right - min(len(labels), MAX_SMALL_CROPS) * (SMALL_CROP_MM + 0.6) + 0.6
    for label in labels[:MAX_SMALL_CROPS]:
        page.square(sheets.by_label[label], x, card.y + CLIP_MM + 1, SMALL_CROP_MM)
        base = card.y + CLIP_MM + 3.2 + page.height_of(SMALL_CROP_MM)
        page.write(x, base, label, 6, room=SMALL_CROP_MM)
        x += SMALL_CROP_MM + 0.6
    lines = _how_it_hangs(block)
    y = card.y + 23.8
    for line, most in lines:
        y = page.write_lines(left, y, line, 7.5, room=right - left, lines=most)
    page.tick(right - 14, foot, "sewn")


def _how_it_hangs(block: WallBlock) -> list[tuple[str, int]]:
    """Return what a place label says, and in how many lines it may."""
    lines = []
    if block.darker and block.darker_goes:
        lines.append((f"{block.darker}, the darker: {block.darker_goes}", 1))
    if block.mark:
        lines.append((f"block {block.mark}", 1))
    turn = f"turn: {turn_words(block.turn)}"
    upright = [label for label in block.one_way if label not in block.on_side]
    if upright:
        turn += f"; {joined(upright)} upright"
    lines.append((turn, 1))
    pressing = "; ".join(filter(None, (block.press_inside, _to_next(block))))
    if pressing:
        lines.append((f"press {pressing}", 2))
    return lines


def _to_next(block: WallBlock) -> str:
    return f"to the next block {block.press_to_next}" if block.press_to_next else ""
