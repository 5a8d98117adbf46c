"""A long table is drawn as rich draws it, to the letter."""

import io
import random

import pytest
from rich.console import Console
from rich.text import Text

from cli.tables import Heading, drawn_table, long_table

WORDS = ("a", "of", "teal", "light-grey", "warm white,", "(two)", "étoffe", "布", "🧵", "tooth" * 5)


def rows_of(chance, columns, most):
    return [
        [" ".join(chance.choices(WORDS, k=chance.randint(0, most))) for _ in range(columns - 1)]
        + [f"{chance.uniform(0, 1e4):.1f}"]
        for _ in range(40)
    ]


@pytest.mark.parametrize("terminal", [False, True])
@pytest.mark.parametrize("width", [40, 72, 100, 200])
def test_as_rich_draws_it(width, terminal):
    chance = random.Random(width)
    for columns, most in ((2, 1), (4, 3), (7, 4)):
        names = tuple(Text(name) for name in ("bundle", "set aside for", "d", *"efgh")[:columns])
        heading = Heading(Text("Squares of a bundle", "bold"), names, columns - 1)
        rows = rows_of(chance, columns, most)
        console = Console(
            file=io.StringIO(), width=width, force_terminal=terminal, color_system=None,
            highlight=False,
        )  # fmt: skip
        with console.capture() as caught:
            console.print(drawn_table(heading, [[Text(cell) for cell in row] for row in rows]))
        assert long_table(console, heading, rows) == caught.get().splitlines()
