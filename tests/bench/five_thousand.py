"""What a bundle of thousands of squares takes to keep, match, plan and show.

    python tests/bench/five_thousand.py FOLDER [--squares 5000] [--fabrics 1 40 5000]

A catalogue is made in FOLDER for each number of fabrics (1 is one cloth all over, as many as there
are squares are colours at random), where there is none. Printed are, as a Markdown table,
processor seconds and peak MB of each command, and of the page's server until it gave the bundle.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np
from drawn import looked_at, stand_in
from page_opening import Opened
from process_costs import COUNT_ENDS, ONE_THREAD, command, run_process

from catalog.bundle.print_likeness import COLOUR_TERMS, LOOK_TERMS, PRINT_TERMS
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.models import PaletteColour, PrintLook

NAME = "stack"
ROWS, COLUMNS = 5, 10
SPREAD = 0.5
"""Standard deviation between measured squares of one fabric, CIELAB."""
COMMANDS = (
    ("count", NAME, "--no-pictures"),
    ("count", NAME, "--pattern", "pinwheel", "--no-pictures"),
    ("show", NAME),
    ("show", NAME, "--json"),
)


def make(path: Path, squares: int, fabrics: int) -> None:
    """Keep a bundle of squares cut from so many fabrics, fifty on a photo."""
    cloths = [_cloth(random.Random(f"fabric {number}")) for number in range(fabrics)]
    photos = []
    for number in range(-(-squares // (ROWS * COLUMNS))):
        seen, content = looked_at(number, ROWS, COLUMNS)
        first = number * ROWS * COLUMNS
        swatches = tuple(
            _cut_from(cloths[(first + n) % fabrics], one, random.Random(first + n))
            for n, one in enumerate(seen.swatches)
        )
        photos.append((replace(seen, swatches=swatches), content))
    with Catalogue(path) as catalogue:
        catalogue.add(NAME, None, photos)


def _cloth(chance: random.Random):
    lab = (chance.uniform(20, 90), chance.uniform(-35, 45), chance.uniform(-35, 55))
    signature = [chance.uniform(0, 60) for _ in range(COLOUR_TERMS)]
    signature += [chance.uniform(0.1, 4) for _ in range(PRINT_TERMS - COLOUR_TERMS)]
    signature += [chance.gauss(0, 1) for _ in range(LOOK_TERMS - 1)]
    colours = chance.choice([1, 1, 2, 3, 4])
    others = [tuple(v + chance.gauss(0, 15) for v in lab) for _ in range(colours - 1)]
    return [lab, *others], np.array([*signature, 0.0], np.float32)


def _cut_from(cloth, swatch, chance: random.Random):
    labs, signature = cloth
    off = [chance.gauss(0, SPREAD) for _ in range(3)]
    moved = [tuple(v + o for v, o in zip(lab, off, strict=True)) for lab in labs]
    palette = tuple(PaletteColour(lab, 1 / len(moved), n == 0) for n, lab in enumerate(moved))
    return replace(
        swatch, lab=moved[0], palette=palette, palette_at_wall=palette,
        print_kind="plain" if len(labs) == 1 else "busy", busyness=len(labs) - 1.0,
        look=PrintLook("plain" if len(labs) == 1 else "medium", "", False, None),
        signature=signature + np.float32(chance.gauss(0, 0.05)),
    )  # fmt: skip


def cells(catalogue: Path) -> list[str]:
    """Return a catalogue's figures, command by command, the page's last."""
    told = []
    for words in COMMANDS:
        with tempfile.TemporaryDirectory() as folder:
            own = Path(shutil.copy(catalogue, folder))
            out = ("--out", f"{folder}/out") if words[0] == "count" else ()
            cost = run_process(
                command(*words, "--catalogue", own, *out), threads=ONE_THREAD, ends=COUNT_ENDS
            )
            told.append(f"{cost.processor_s:.1f} | {cost.peak_mb:.0f}")
    page = Opened(catalogue)
    first = page.took("/api/start")
    number = page.browser.get("/api/start").json()["bundles"][0]["id"]
    opened = first + page.took(f"/api/bundle/{number}")
    told.append(f"{opened:.1f} | {page.megabytes():.0f}")
    page.close()
    return told


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--squares", type=int, default=5000)
    asked.add_argument("--fabrics", type=int, nargs="+", default=[1, 40, 5000])
    given = asked.parse_args()
    stand_in()
    columns = []
    for fabrics in given.fabrics:
        path = given.folder / f"{given.squares}_of_{fabrics}.catalogue"
        if not path.exists():
            make(path, given.squares, fabrics)
        columns.append(cells(path))
    heads = [f"{fabrics:,} fabrics, s | MB" for fabrics in given.fabrics]
    sys.stdout.write("| | " + " | ".join(heads) + " |\n" + "|---" * (1 + 2 * len(heads)) + "|\n")
    rows = [" ".join(words) for words in COMMANDS] + ["the bundle on the page"]
    for row, *told in zip(rows, *columns, strict=True):
        sys.stdout.write(f"| `{row}` | " + " | ".join(told) + " |\n")


if __name__ == "__main__":
    main()
