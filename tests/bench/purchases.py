"""How near to the least cloth the purchases come: ``python tests/bench/purchases.py [NUMBER]``.

Random cut lists of one to five kinds are planned in strips and in fat quarters. What is bought is
compared with what no cutting whatever can do without: the area of the pieces over the
width of the cloth, and the height of the tallest; and with the bound of strips.
"""

from __future__ import annotations

import random
import sys
import time
from fractions import Fraction

from catalog.cutting.layouts.sheet_plan import sheet_plan
from catalog.cutting.yardage.bolt import STEPS, Bolt, buy
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.models import Piece

NUMBER = 200


def cut_list(draw: random.Random) -> list[Piece]:
    """Return pieces as quilts have them, sides from 1 to 12 1/2 in on eighths."""
    return [
        Piece(
            f"piece {kind}",
            Fraction(draw.randint(8, 100), 8),
            Fraction(draw.randint(8, 100), 8),
            draw.randint(1, 48),
        )
        for kind in range(draw.randint(1, 5))
    ]


def any_cutting(pieces: list[Piece], cloth: Bolt) -> Fraction:
    """Return the length of cloth that no cutting does without."""
    area = sum((one.width * one.length * one.count for one in pieces), Fraction(0))
    sides = (one.length if cloth.directional else min(one.width, one.length) for one in pieces)
    return max(area / cloth.width, *sides)


def steps_over(bought: Fraction, least: Fraction, cloth: Bolt) -> int:
    """Return how many of the counter's steps more are bought than the least asks for."""
    return int((bought - buy(least, cloth).bought) / STEPS[cloth.sold_by])


def main() -> None:
    """Print how many purchases are how many steps over the least."""
    draw = random.Random(7)
    number = int(sys.argv[1]) if len(sys.argv) > 1 else NUMBER
    strips: list[int] = []
    any_way: list[int] = []
    quarters: list[int] = []
    begun = time.perf_counter()
    for _ in range(number):
        pieces = cut_list(draw)
        cloth = Bolt(usable_width=Fraction(draw.choice([40, 42])), directional=draw.random() < 0.2)
        plan = strip_plan(pieces, cloth)
        strips.append(steps_over(plan.purchase.bought, plan.least, cloth))
        any_way.append(steps_over(plan.purchase.bought, any_cutting(pieces, cloth), cloth))
        sheets = sheet_plan(pieces, Fraction(20), Fraction(18), "fat quarter")
        quarters.append(sheets.number - sheets.least)
    print(f"{number} cut lists, {time.perf_counter() - begun:.0f} s")  # noqa: T201 - a table
    for what, over in (
        ("yards, over the bound of strips", strips),
        ("yards, over any cutting's bound", any_way),
        ("fat quarters, over the bound of straight cuts", quarters),
    ):
        counts = [sum(one == n for one in over) for n in range(max(over) + 1)]
        near = 100 * sum(one <= 1 for one in over) / number
        told = f"{what}: {counts} (0, 1, 2 ... steps over)"
        print(f"{told}; within one step {near:.1f} %")  # noqa: T201 - a table


if __name__ == "__main__":
    main()
