"""A square's palette at the terminal: a bar in colour, or words where there is no colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from catalog.bundle.naming.fabric_colours import ONE_COLOUR
from catalog.models import ColourTerms, Palette, PrintLook
from catalog.report.palette_bars import Bar, bars_of, hue_words

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

SHARES: Final = "shares in %"
"""Head of the column."""
WIDE: Final = 20
"""Letters that a bar is wide: a twentieth of the cloth is one, and colours of less are seldom told
(choice of ours)."""
ENOUGH: Final = frozenset({"256", "truecolor", "windows"})
"""Systems of colours, as rich calls them, that come near to a cloth's; sixteen colours don't."""


LIGHT: Final = 0x76
"""Grey from which black letters have more contrast on a colour than white ones: relative luminance
0.179 (see `cli.page.bundle_view`)."""


@dataclass(frozen=True)
class BarCell:
    """A cell of a table that shows a square's colours."""

    bar: Bar
    one_colour: bool = False
    """Whether it shows shades of one colour, which the square's name says already."""

    def drawn(self, console: Console) -> Text | None:
        """Return the bar, each colour as wide as its share with its percent in it.

        None where the console has no colours, or the user wants none.
        """
        from rich.text import Text

        if not console.is_terminal or console.no_color or console.color_system not in ENOUGH:
            return None
        text = Text(no_wrap=True)
        ends = [round(WIDE * (part.start + part.share)) for part in self.bar]
        for part, start, end in zip(self.bar, [0, *ends], ends, strict=False):
            percent = str(part.percent)
            shown = percent if len(percent) <= end - start else ""
            ink = "black" if int(part.grey[1:3], 16) > LIGHT else "white"
            text.append(shown.ljust(end - start), f"{ink} on {part.colour}")
        return text

    @property
    def words(self) -> str:
        """The hues with their percents, as a narrow column holds them: ``white 48, pink 52``.

        Nothing of shades of one colour: their hues may lie on either side of that of its name.
        """
        return "" if self.one_colour else hue_words(self.bar, "")


def shares_cell(
    palette: Palette, look: PrintLook | None, terms: ColourTerms = "standard"
) -> BarCell | str:
    """Return the cell of a table that shows a palette; empty where its one colour has a name."""
    return shares_cells([(palette, look)], terms)[0]


def shares_cells(
    prints: Sequence[tuple[Palette, PrintLook | None]], terms: ColourTerms = "standard"
) -> list[BarCell | str]:
    """Return the cells of a column, whose colours are named together."""
    bars = iter(bars_of(tuple(palette for palette, _ in prints if len(palette) > 1), terms))
    return [
        BarCell(next(bars), one_colour=look is not None and look.scale in ONE_COLOUR)
        if len(palette) > 1
        else ""
        for palette, look in prints
    ]
