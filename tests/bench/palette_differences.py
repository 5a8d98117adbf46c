"""Which difference of two prints orders them as a person would.

    python tests/bench/palette_differences.py FOLDER...

The folders hold photos with truth beside them (see `accuracy.py`). Of every print that has a
second cut in its photo these squares are made from its own laid-flat pixels, and measured as the
tool measures any: the print recoloured (its linear channels change places), its ground and its
largest figure changed round, another print of the photo painted in its colours, and its mean as a
plain square. What a person would want of their differences from the print:

- the other cut is nearest;
- the other print in its colours comes before the recoloured one, the one changed round and the
  plain of its mean.

Prints whose variant is none (greys recoloured, a ground and a figure of like shares) are left out
of it. Two Markdown tables: how often each measure has it so, in the hand and from 2 m; and how well
it parts squares of one fabric from others, prints only (area under the curve of hits over false
alarms). With ``--themes FILE`` a third: of palettes that people chose from the same pictures (a
line each: picture, number, colours as hex, tabs between), how often the nearest palette of all is
of the same picture.
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import numpy as np
from accuracy import MET, assign, corners_of, side_of
from numpy.typing import NDArray

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_difference
from catalog.finding import find_squares
from catalog.light import estimate_light, without_chart
from catalog.measuring.overlap_order import on_top
from catalog.measuring.print_palettes import HIDDEN, PrintColours, colours_of
from catalog.measuring.rectified_patches import PATCH_PX, cloth_shown_in, cut_patches
from catalog.measuring.seen_from_wall import seen_from_wall
from catalog.measuring.square_prints import lab_planes
from catalog.models import Found, LightHints, Palette, PaletteColour, Photo
from catalog.photo import read_photo

Floats = NDArray[np.float64]
Measure = Callable[[Palette, Palette], float]

MIN_RECOLOURED = 10.0
"""Mean CIEDE2000 between a print and its recolouring from which it is one."""
MIN_TURNED = 0.2
"""Difference of the two largest shares from which changing them round shows."""
SEEN = np.ones((PATCH_PX, PATCH_PX), bool)


@dataclass(frozen=True, eq=False)
class Cloth:
    """A square laid flat, and its colours."""

    pixels: Floats
    """(side, side, 3) linear light."""
    width_in: float
    hand: PrintColours
    wall: Palette

    @classmethod
    def of(cls, pixels: Floats, width_in: float) -> Cloth:
        """Measure laid-flat pixels as the tool does."""
        pixels = np.maximum(pixels, 0.0).astype(np.float32)
        hand = colours_of(lab_planes(pixels), SEEN)
        far = lab_planes(seen_from_wall(pixels, SEEN, width_in))
        wall = hand.palette if len(hand.palette) == 1 else colours_of(far, SEEN).palette
        return cls(pixels, width_in, hand, wall)

    def seen(self, seen_from: str) -> Palette:
        """Return its palette."""
        return self.hand.palette if seen_from == "hand" else self.wall


def mean_colour(one: Palette, two: Palette) -> float:
    """Today's measure before palettes: CIEDE2000 of the means in linear light."""
    return float(ciede2000(_mean(one), _mean(two)))


def _mean(palette: Palette) -> Floats:
    labs = np.array([colour.lab for colour in palette])
    shares = np.array([colour.share for colour in palette])
    return np.asarray(lab.linear_to_lab(shares @ lab.lab_to_linear(labs) / shares.sum()))


def _away(one: Palette, two: Palette) -> Floats:
    first, second = (np.array([colour.lab for colour in each]) for each in (one, two))
    return ciede2000(first[:, None], second)


def minimum(one: Palette, two: Palette) -> float:
    """Mean over the colours of both of the difference to the nearest colour of the other.

    Q. Pan, S. Westland, Comparative evaluation of color differences between color palettes, 26th
    Color and Imaging Conference (2018), where it agreed with observers better than the mean
    colour's difference and than the mean of all.
    """
    away = _away(one, two)
    return float(away.min(axis=1).mean() + away.min(axis=0).mean()) / 2.0


def minimum_by_shares(one: Palette, two: Palette) -> float:
    """The same, each colour by its share."""
    away = _away(one, two)
    there = np.average(away.min(axis=1), weights=[colour.share for colour in one])
    back = np.average(away.min(axis=0), weights=[colour.share for colour in two])
    return float(there + back) / 2.0


def minimum_to_blends(one: Palette, two: Palette) -> float:
    """The same to the nearest colour on the lines between the other's colours.

    After S. Kim, S. Choi, Dynamic closest color warping to sort and compare palettes, ACM
    Transactions on Graphics 40 (2021), in that a colour is compared with blends; from memory.
    """
    return (minimum(_with_blends(one), two) + minimum(one, _with_blends(two))) / 2.0


def _with_blends(palette: Palette) -> Palette:
    labs = [np.array(colour.lab) for colour in palette]
    pairs = [(a, b, t) for a, b in combinations(labs, 2) for t in (0.25, 0.5, 0.75)]
    blends = [(1 - t) * a + t * b for a, b, t in pairs]
    return (*palette, *(PaletteColour(tuple(map(float, one)), 0.0) for one in blends))


def worst_minimum(one: Palette, two: Palette) -> float:
    """The largest difference of a colour to the nearest of the other (Hausdorff)."""
    away = _away(one, two)
    return float(max(away.min(axis=1).max(), away.min(axis=0).max()))


MEASURES: dict[str, Measure] = {
    "mean colour": mean_colour,
    "nearest colours": minimum,
    "nearest colours by share": minimum_by_shares,
    "nearest blends": minimum_to_blends,
    "worst nearest colour": worst_minimum,
    "earth mover's": palette_difference,
}


def recoloured(cloth: Cloth) -> Cloth:
    """Let the channels change places."""
    return Cloth.of(cloth.pixels[..., [2, 0, 1]], cloth.width_in)


def turned_round(cloth: Cloth) -> Cloth:
    """Let the two colours of the largest shares change places."""
    order = [1, 0, *range(2, len(cloth.hand.palette))]
    return painted(cloth, [cloth.hand.palette[k] for k in order])


def plain_of_mean(cloth: Cloth) -> Cloth:
    """Return its mean as a plain square."""
    return Cloth.of(np.broadcast_to(cloth.pixels.mean(axis=(0, 1)), cloth.pixels.shape),
                    cloth.width_in)  # fmt: skip


def painted(cloth: Cloth, colours: Sequence[PaletteColour]) -> Cloth:
    """Paint a print in other colours, the largest share first, its weave kept."""
    own = np.array([colour.lab for colour in cloth.hand.palette])
    new = np.array([colours[min(k, len(colours) - 1)].lab for k in range(len(own))])
    places = np.where(cloth.hand.places == HIDDEN, 0, cloth.hand.places)
    weave = cloth.pixels / np.maximum(lab.lab_to_linear(own)[places], 1e-3)
    shade = np.clip(weave.mean(axis=2, keepdims=True), 0.8, 1.2)
    return Cloth.of(lab.lab_to_linear(new)[places] * shade, cloth.width_in)


def cloths_of(path: Path, found: Found | None = None) -> list[tuple[str, Cloth]]:
    """Return the squares of a photo that its truth knows, each with its fabric."""
    photo: Photo = read_photo(path)
    squares = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))["squares"]
    found = without_chart(photo, found or find_squares(photo, side_of(path)))
    light = estimate_light(photo, found, LightHints())
    everyone = range(len(found.squares))
    even = cut_patches(photo, found, everyone, light, on_top(photo, found)).even
    told = np.array([corners_of(one) for one in found.squares])
    pairs = assign(told, np.array([one["polygon"] for one in squares], float))
    return [
        (str(squares[j]["fabric_id"]), Cloth.of(even[i], cloth_shown_in(found.squares[i])))
        for i, j, share in pairs
        if share >= MET and squares[j].get("visible_fraction", 1) > 0.98
    ]


def cases_of(cloths: Sequence[tuple[str, Cloth]]) -> list[dict[str, Cloth]]:
    """Return for each print with a second cut what it is compared with, by name."""
    of_fabric = defaultdict(list)
    for fabric, cloth in cloths:
        of_fabric[fabric].append(cloth)
    prints = {f: own for f, own in of_fabric.items() if len(own[0].hand.palette) > 1}
    cases = []
    for number, (fabric, (cloth, *cuts)) in enumerate(prints.items()):
        if not cuts:
            continue
        case = {"print": cloth, "other cut": cuts[0], "plain of its mean": plain_of_mean(cloth)}
        others = [own[0] for other, own in prints.items() if other != fabric]
        fit = [o for o in others if len(o.hand.palette) >= len(cloth.hand.palette)]
        if fit:
            case["other print"] = painted(fit[number % len(fit)], cloth.hand.palette)
        new = recoloured(cloth)
        apart = ciede2000(*(lab.many_pixels_to_lab(one.pixels) for one in (cloth, new)))
        if apart.mean() >= MIN_RECOLOURED:
            case["recoloured"] = new
        if cloth.hand.palette[0].share - cloth.hand.palette[1].share >= MIN_TURNED:
            case["changed round"] = turned_round(cloth)
        cases.append(case)
    return cases


WANTED = (
    ("other cut", "other print"),
    ("other cut", "changed round"),
    ("other cut", "recoloured"),
    ("other cut", "plain of its mean"),
    ("other print", "changed round"),
    ("other print", "recoloured"),
    ("other print", "plain of its mean"),
)
"""What is to be nearer to the print than what."""


def order_table(cases: Sequence[dict[str, Cloth]]) -> list[str]:
    """Return how often each measure has the order as it is wanted, in percent."""
    heads = [f"{near} before {far}" for near, far in WANTED]
    lines = ["| seen from | measure | " + " | ".join(heads) + " | all |",
             "|---" * (len(heads) + 3) + "|"]  # fmt: skip
    for seen_from in ("hand", "wall"):
        for name, measure in MEASURES.items():
            away = [
                {what: measure(case["print"].seen(seen_from), cloth.seen(seen_from))
                 for what, cloth in case.items()}
                for case in cases
            ]  # fmt: skip
            right = [
                [one[near] < one[far] for one in away if near in one and far in one]
                for near, far in WANTED
            ]
            cells = [f"{100 * np.mean(each):.0f}" for each in right]
            cells.append(f"{100 * np.mean([np.mean(each) for each in right]):.0f}")
            lines.append(f"| {seen_from} | {name} | " + " | ".join(cells) + " |")
    counts = [sum(near in c and far in c for c in cases) for near, far in WANTED]
    lines.append("| | cases | " + " | ".join(map(str, counts)) + " | |")
    return lines


def in_bundles(
    paths: Sequence[Path], photos: Sequence[list[tuple[str, Cloth]]]
) -> list[list[tuple[str, Cloth]]]:
    """Put photos together that show one bundle."""
    bundles: dict[str, list[tuple[str, Cloth]]] = defaultdict(list)
    for path, cloths in zip(paths, photos, strict=True):
        truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        bundles[truth.get("bundle") or str(path)] += cloths
    return list(bundles.values())


def fabric_table(photos: Sequence[Sequence[tuple[str, Cloth]]]) -> list[str]:
    """Return how well each measure parts pairs of one fabric from others, prints only."""
    lines = ["| seen from | measure | one fabric, median | another, 5 % under | parted, % |",
             "|---" * 5 + "|"]  # fmt: skip
    for seen_from in ("hand", "wall"):
        for name, measure in MEASURES.items():
            same, other = [], []
            for cloths in photos:
                prints = [one for one in cloths if len(one[1].hand.palette) > 1]
                for (f, one), (g, two) in combinations(prints, 2):
                    away = measure(one.seen(seen_from), two.seen(seen_from))
                    (same if f == g else other).append(away)
            ranks = np.searchsorted(np.sort(other), same)
            parted = 100 * (1 - ranks.mean() / len(other))
            lines.append(f"| {seen_from} | {name} | {np.median(same):.1f} | "
                         f"{np.percentile(other, 5):.1f} | {parted:.2f} |")  # fmt: skip
    return lines


def themes_table(path: Path) -> list[str]:
    """Return how often the nearest palette that people chose is of the same picture."""
    rows = [line.split("\t") for line in path.read_text(encoding="utf-8").splitlines() if line]
    colours = [[bytes.fromhex(one.lstrip("#")) for one in row[2:]] for row in rows]
    palettes = [
        tuple(
            PaletteColour(tuple(map(float, one)), 1 / len(own))
            for one in lab.linear_to_lab(lab.srgb_to_linear(np.array([list(c) for c in own]) / 255))
        )
        for own in colours
    ]
    lines = [
        "| measure | nearest is of the same picture, % | same before other, % |",
        "|---|---|---|",
    ]
    for name, measure in MEASURES.items():
        away = np.array([[measure(a, b) for b in palettes] for a in palettes])
        np.fill_diagonal(away, np.inf)
        same = np.array([[a[0] == b[0] for b in rows] for a in rows])
        several = same.sum(axis=1) > 1
        hits = [same[i, away[i].argmin()] for i in np.flatnonzero(several)]
        np.fill_diagonal(same, val=False)
        upper = np.triu(np.ones_like(same), 1) > 0
        ranks = np.searchsorted(np.sort(away[upper & ~same]), away[upper & same])
        parted = 100 * (1 - ranks.mean() / (upper & ~same).sum())
        lines.append(f"| {name} | {100 * np.mean(hits):.0f} | {parted:.1f} |")
    return lines


def main() -> int:
    """Print the tables for the folders named on the command line."""
    words = sys.argv[1:]
    if "--themes" in words:
        at = words.index("--themes")
        sys.stdout.write("\n".join([*themes_table(Path(words[at + 1])), "", ""]))
        del words[at : at + 2]
    paths = [p for folder in words for p in sorted(Path(folder).glob("*.jpg"))]
    paths = [path for path in paths if path.with_suffix(".json").exists()]
    photos = [cloths_of(path) for path in paths]
    cases = [case for cloths in photos for case in cases_of(cloths)]
    if cases:
        sys.stdout.write(
            "\n".join([*order_table(cases), "", *fabric_table(in_bundles(paths, photos)), ""])
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
