"""How near to the least cloth the purchases come: ``python tests/bench/purchases.py [NUMBER]``.

Random cut lists of one to five kinds are planned in strips and in fat quarters. What is bought is
compared with what no cutting whatever can do without: the area of the pieces over the
width of the cloth, and the height of the tallest; with the bound of strips; and lists that are
small enough with the shortest length of all straight cuttings, found here by trying everything.
"""

from __future__ import annotations

import math
import random
import sys
import time
from dataclasses import replace
from fractions import Fraction
from itertools import product

from catalog.cutting.layouts.sheet_plan import sheet_plan
from catalog.cutting.yardage.bolt import STEPS, Bolt, buy
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.models import Piece

NUMBER = 200
MAX_COLLECTIONS = 90
"""Of a list in which everything is tried."""


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


def small_list(draw: random.Random) -> list[Piece]:
    """Return pieces of so few collections that everything can be tried."""
    while True:
        pieces = [
            replace(one, count=draw.randint(1, 9)) for one in cut_list(draw)[: draw.randint(1, 3)]
        ]
        if math.prod(one.count + 1 for one in pieces) <= MAX_COLLECTIONS:
            return pieces


def shortest(pieces: list[Piece], width: Fraction) -> Fraction:
    """Return the least length of cloth of all straight cuttings, by trying everything.

    For each collection of pieces the rectangles it can be cut from are those of any two parts of
    it, side by side or one above the other; those that hold another are left out.
    """
    held: dict[tuple[int, ...], list[tuple[Fraction, Fraction]]] = {}
    whole = tuple(one.count for one in pieces)
    for counts in sorted(product(*(range(n + 1) for n in whole)), key=sum):
        found = set()
        if sum(counts) == 1:
            one = pieces[counts.index(1)]
            found = {(one.width, one.length), (one.length, one.width)}
        for part in product(*(range(n + 1) for n in counts)):
            rest = tuple(a - b for a, b in zip(counts, part, strict=True))
            for (a, b), (c, d) in product(held.get(part, ()), held.get(rest, ())):
                found |= {(a + c, max(b, d)), (max(a, c), b + d)}
        held[counts] = []
        for wide, long in sorted(found):
            shorter = not held[counts] or long < held[counts][-1][1]
            if wide <= width and shorter:
                held[counts].append((wide, long))
    return min(long for _, long in held[whole])


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
    small: list[int] = []
    begun = time.perf_counter()
    for _ in range(number):
        pieces = cut_list(draw)
        cloth = Bolt(usable_width=Fraction(draw.choice([40, 42])), directional=draw.random() < 0.2)
        plan = strip_plan(pieces, cloth)
        strips.append(steps_over(plan.purchase.bought, plan.least, cloth))
        any_way.append(steps_over(plan.purchase.bought, any_cutting(pieces, cloth), cloth))
        sheets = sheet_plan(pieces, Fraction(20), Fraction(18), "fat quarter")
        quarters.append(sheets.number - sheets.least)
        few = small_list(draw)
        bought = strip_plan(few).purchase.bought
        small.append(steps_over(bought, shortest(few, Bolt().width), Bolt()))
    print(f"{number} cut lists, {time.perf_counter() - begun:.0f} s")  # noqa: T201 - a table
    for what, over in (
        ("yards, over the bound of strips", strips),
        ("yards, over any cutting's bound", any_way),
        ("yards of small lists, over the best of all straight cuttings", small),
        ("fat quarters, over the bound of straight cuts", quarters),
    ):
        counts = [sum(one == n for one in over) for n in range(max(over) + 1)]
        near = 100 * sum(one <= 1 for one in over) / number
        told = f"{what}: {counts} (0, 1, 2 ... steps over)"
        print(f"{told}; within one step {near:.1f} %")  # noqa: T201 - a table


if __name__ == "__main__":
    main()
