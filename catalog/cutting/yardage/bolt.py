"""Cloth off the bolt: its usable width, how it is sold, and what washing takes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from catalog.cutting.customary import QUARTER_SEAM, USABLE_WIDTH
from catalog.errors import ClothError
from catalog.lengths import CENTIMETRES_PER_INCH, SIXTEENTH, round_to, show_length

SoldBy = Literal["eighth of a yard", "10 cm"]
"""The least step in which a shop cuts cloth."""

YARD: Final = Fraction(36)
"""Inches, by definition."""

STEPS: Final[dict[SoldBy, Fraction]] = {
    "eighth of a yard": YARD / 8,
    "10 cm": 10 / CENTIMETRES_PER_INCH,
}
"""Inches. Yards go up to the next eighth (row YD096 of ``tests/trade_checks/yardage.csv``: 10 in
are bought as 3/8 yd); tenths of a metre: `common practice`."""


@dataclass(frozen=True)
class Bolt:
    """The cloth that pieces are to be cut from."""

    usable_width: Fraction = USABLE_WIDTH
    """Inches between the selvages, as bought."""
    seam: Fraction = QUARTER_SEAM
    """Seam allowance of every join, inches."""
    directional: bool = False
    """Whether the print has an up and a down, along the length of the cloth: then no piece may
    be turned."""
    shrinkage: Fraction = Fraction(0)
    """Part of its length and width that the cloth loses when it is washed before cutting, from 0
    to below 1; 0 where it is cut unwashed."""
    sold_by: SoldBy = "eighth of a yard"
    spare: Fraction | None = None
    """Inches bought beyond what is cut up, to straighten the ends and for a slip; None for one
    step of the shop's: an eighth of a yard or 10 cm. `Common practice`: published charts that buy
    an eighth more than arithmetic needs, or lose a row to straightening (row YD039 of
    ``tests/trade_checks/yardage.csv``), differ by about as much."""

    def __post_init__(self) -> None:
        if self.usable_width <= 0:
            raise ClothError(
                f"a usable width of {shown(self.usable_width)} holds no cloth",
                "write the inches between the selvages, such as 40",
            )
        before_shrinking(self.usable_width, self.shrinkage)
        if self.spare is not None and self.spare < 0:
            raise ClothError(
                f"{shown(self.spare)} to spare can't be bought",
                "write a length to buy beyond what is used, or 0",
            )
        if not 0 <= self.seam <= self.usable_width / 4:
            raise ClothError(
                f"a seam of {shown(self.seam)} doesn't fit this cloth",
                "write the seam allowance in inches, such as 1/4",
            )

    @property
    def width(self) -> Fraction:
        """Usable width when it comes under the cutter, inches."""
        return self.usable_width * (1 - self.shrinkage)

    @property
    def metric(self) -> bool:
        """Whether it is measured in centimetres."""
        return self.sold_by == "10 cm"

    @property
    def allowance(self) -> Fraction:
        """Inches bought beyond what is cut up."""
        return STEPS[self.sold_by] if self.spare is None else self.spare


@dataclass(frozen=True)
class Purchase:
    """What to ask for at the counter."""

    used: Fraction
    """Length that the plan cuts up, inches, after washing if the cloth is washed."""
    bought: Fraction
    """Length to buy, inches, a whole number of the shop's steps."""
    words: str
    """All in words: ``1/2 yd (10 in are used, 4 1/2 in to spare)``."""
    spare: Fraction = Fraction(0)
    """Inches of it that are bought to spare; what rounding up to a step adds comes on top."""


def buy(used: Fraction, cloth: Bolt | None = None) -> Purchase:
    """Add what a cloth is to have to spare, and round up to what a shop cuts.

    Parameters
    ----------
    used : Fraction
        Inches that are cut up, 0 or more.
    cloth : Bolt, optional
        Its shrinkage, what is to be spare and the step it is sold by; plain cotton of 40 in if
        left out.

    Returns
    -------
    Purchase
        Never less than `used`, or what shrinks to it, and what is to be spare.
    """
    cloth = cloth or Bolt()
    before = before_shrinking(used, cloth.shrinkage)
    spare = cloth.allowance
    bought = round_to(before + spare, STEPS[cloth.sold_by], "up")
    if cloth.metric:
        amount = f"{float(bought * CENTIMETRES_PER_INCH / 100):.1f} m"
    else:
        amount = show_yards(bought)
    washed = f" after washing at {_percent(cloth.shrinkage)}" if cloth.shrinkage else ""
    beyond = f", {shown(spare)} to spare" if spare else ""
    return Purchase(used, bought, f"{amount} ({shown(used)} are used{washed}{beyond})", spare)


def show_yards(length: Fraction) -> str:
    """Write inches as yards to the eighth, rounded up, as ``2 3/8 yd``."""
    return f"{show_length(length / YARD, rounding='up', mark=False)} yd"


def before_shrinking(wanted: Fraction, rate: Fraction) -> Fraction:
    """Return the length that shrinks to `wanted`: wanted / (1 - rate).

    Sources differ: one adds the rate of the wanted size instead (90 in at 5 percent made as 94.5,
    rounded to 95), which falls short by the rate squared (94.5 shrinks to 89.8). The division is
    followed, for it is the inverse of shrinking.

    Parameters
    ----------
    wanted : Fraction
        Length after washing, inches.
    rate : Fraction
        Part of the length lost, from 0 to below 1.

    Returns
    -------
    Fraction
        Inches, exact.
    """
    if not 0 <= rate < 1:
        raise ClothError(
            f"a shrinkage of {_percent(rate)} can't be",
            "write a part from 0 to 0.2, such as 0.03 for 3 percent",
        )
    return wanted / (1 - rate)


def shown(length: Fraction, *, mark: bool = True) -> str:
    """Write a length of cloth, rounded up to a sixteenth so that none is wanting."""
    return show_length(length, step=SIXTEENTH, rounding="up", mark=mark)


def _percent(rate: Fraction) -> str:
    return f"{float(rate * 100):g} percent"
