"""How near the tool's palettes, and what it tells of prints, come to the truth.

    python tests/bench/palettes.py FOLDER... [--ways]

A folder holds photos with their truth as for `accuracy.py`, whose squares have a ``palette``. The
distance of two palettes is the earth mover's over CIEDE2000 (`catalog.colour.palette_difference`):
what it takes to carry the shares of one to the colours of the other. Prints Markdown tables: photo
by photo and by what colours were judged by (a reference is a chart, a card, a page, a white sheet
or what the user says) the median distance and its upper tenth, and how far the mean colour alone is
off; what is told of each kind of print; how far the palettes of one fabric in two squares are
apart, in one photo and in two, and the share that lies within both squares' doubts; with
``--ways`` the distance that other ways of finding colours come to, on the same pixels.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import MET, assign, bundle_of, corners_of
from doubts import kind_of
from palette_ways import WAYS

from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_difference
from catalog.measuring import measure, square_prints
from catalog.measuring.colour_bins import steps
from catalog.measuring.print_palettes import HIDDEN, PrintColours
from catalog.models import Palette, PaletteColour, Swatch

NO_REFERENCE = ("whites in the prints", "a guess: no white seen")
HALF_PURE = 8.0
"""CIELAB distance across a pixel at which the other ways count it for half."""


@dataclass(frozen=True)
class CheckedPrint:
    """One square: what was told, and what is true."""

    photo: str
    judged_by: str
    fabric: str
    kind: str
    told: Swatch
    true: Palette
    off: float
    """CIEDE2000 of the mean colours."""

    @property
    def distance(self) -> float:
        """Of the palettes."""
        return palette_difference(self.told.palette, self.true)


def palette(told: list[dict]) -> Palette:
    """Return a truth file's palette."""
    return tuple(PaletteColour(tuple(one["lab"]), one["weight"]) for one in told)


def checked(path: Path, ways: dict[str, list[float]]) -> list[CheckedPrint]:
    """Run the tool on one photo, and the other ways on its squares."""
    bundle, squares = bundle_of(path)
    told = np.array([corners_of(one.square) for one in bundle.swatches])
    true = np.array([one["polygon"] for one in squares], float).reshape(-1, 4, 2)
    met = [
        (i, j) for i, j, share in assign(told, true) if share >= MET and squares[j].get("palette")
    ]
    light = bundle.photos[0].light
    judged = kind_of(light.evidence if light else "")
    found = [
        CheckedPrint(
            path.stem,
            judged,
            squares[j]["fabric_id"],
            squares[j]["kind"],
            bundle.swatches[i],
            palette(squares[j]["palette"]),
            float(ciede2000(bundle.swatches[i].lab, np.array(squares[j]["mean_lab"]))),
        )
        for i, j in met
    ]
    for name, way in WAYS.items() if ways else ():
        for (i, j), other in zip(met, by_another_way(bundle.photos[0], way, met), strict=True):
            del i
            ways[name].append(palette_difference(other, palette(squares[j]["palette"])))
    return found


def by_another_way(photo, way, met) -> list[Palette]:
    """Measure a photo with its colours found another way."""

    def colours_of(planes, shown) -> PrintColours:
        weights = HALF_PURE / (HALF_PURE + steps(planes)[shown])
        told = way(planes[:, shown].T.astype(float), weights.astype(float))
        order = sorted(told, key=lambda one: -one[1])
        return PrintColours(
            tuple(PaletteColour(tuple(map(float, lab)), share) for lab, share in order),
            np.full(shown.shape, HIDDEN, np.uint8),
        )

    own, square_prints.colours_of = square_prints.colours_of, colours_of
    try:
        swatches = measure(photo.photo, photo.found, photo.light)
    finally:
        square_prints.colours_of = own
    return [swatches[i].palette for i, _ in met]


def table(names: tuple[str, ...], rows: list[tuple]) -> None:
    """Write a Markdown table."""
    lines = ["| " + " | ".join(names) + " |", "|" + "---|" * len(names)]
    for row in rows:
        cells = (f"{cell:.2f}" if isinstance(cell, float) else str(cell) for cell in row)
        lines.append("| " + " | ".join(cells) + " |")
    sys.stdout.write("\n".join(lines) + "\n\n")
    sys.stdout.flush()


def figures(name: str, some: list[CheckedPrint]) -> tuple:
    """Return squares, medians and upper tenth."""
    away = [one.distance for one in some]
    return (
        name, len(some), float(np.median(away)), float(np.quantile(away, 0.9)),
        float(np.median([one.off for one in some])),
    )  # fmt: skip


def kinds(every: list[CheckedPrint]) -> list[tuple]:
    """Return what is told of each kind of print."""
    rows = []
    for kind in sorted({one.kind for one in every}):
        looks = [one.told.look for one in every if one.kind == kind]
        scale, motif = (Counter(getattr(one, name) for one in looks) for name in ("scale", "motif"))
        rows.append((
            kind, len(looks),
            *(scale[one] for one in ("plain", "tonal", "small", "medium", "large")),
            *(motif[one] for one in ("stripe", "check", "dots")),
            sum(one.directional for one in looks),
            sum(one.repeat_in is not None for one in looks),
            sum(any(c.ground for c in o.told.palette) for o in every if o.kind == kind),
        ))  # fmt: skip
    return rows


def twins(every: list[CheckedPrint]) -> list[tuple]:
    """Return how far palettes of one fabric are apart."""
    by_fabric = defaultdict(list)
    for one in every:
        bundle = one.photo.rsplit("_photo_", 1)[0]
        by_fabric[bundle, one.fabric].append(one)
    found = defaultdict(list)
    for same in by_fabric.values():
        for one, two in combinations(same, 2):
            both = one.photo == two.photo
            doubts = (o.told.own_uncertainty if both else o.told.uncertainty for o in (one, two))
            away = palette_difference(one.told.palette, two.told.palette)
            true = palette_difference(one.true, two.true)
            where = "one photo" if both else "two photos"
            found[where].append((away, true, float(np.hypot(*doubts))))
    rows = []
    for name, pairs in found.items():
        away, true, doubt = np.array(pairs).T
        within = float(np.mean(away <= doubt)), float(np.mean(away <= doubt + true))
        rows.append((name, len(pairs), float(np.median(away)), float(np.median(true)), *within))
    return rows


def main(folders: list[str]) -> None:
    """Print the tables."""
    asked = "--ways" in folders
    ways: dict[str, list[float]] = {name: [] for name in WAYS} if asked else {}
    paths = [p for f in folders if f != "--ways" for p in sorted(Path(f).glob("*.jpg"))]
    every = [one for p in paths if p.with_suffix(".json").exists() for one in checked(p, ways)]
    names = ("photo", "squares", "palette off", "tenth above", "mean off")
    by_photo = sorted({(one.photo, one.judged_by) for one in every})
    rows = [figures(f"{p} ({by})", [o for o in every if o.photo == p]) for p, by in by_photo]
    table(names, rows)
    known = [one for one in every if one.judged_by not in NO_REFERENCE]
    guessed = [one for one in every if one.judged_by in NO_REFERENCE]
    prints = [one for one in every if len(one.true) > 1]
    groups = {"with a reference": known, "without": guessed, "all": every, "prints": prints}
    table(("group", *names[1:]), [figures(name, some) for name, some in groups.items() if some])
    looks = ("plain", "tonal", "small", "medium", "large", "stripe", "check", "dots", "one way")
    table(("kind", "squares", *looks, "repeat seen", "ground told"), kinds(every))
    same = ("one fabric in", "pairs", "apart", "truly apart", "within doubt", "with the true")
    table(same, twins(every))
    if asked:
        own = [one.distance for one in every]
        told = {"the tool's own": own, **ways}
        print_of = np.array([len(one.true) > 1 for one in every])
        table(("way", "median", "mean", "median of prints"), [
            (name, float(np.median(v)), float(np.mean(v)), float(np.median(np.array(v)[print_of])))
            for name, v in told.items()
        ])  # fmt: skip


if __name__ == "__main__":
    main(sys.argv[1:])
