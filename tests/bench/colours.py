"""How far colours are off, beside what was told of it, on photos whose contents are known.

    python tests/bench/colours.py FOLDER...

A folder holds photos with their truth as for `accuracy.py`. Prints Markdown tables. Photo by photo,
all in CIEDE2000: what the colours were judged by; the error told for that and the one measured
(median over the squares); the share of squares whose true colour lies within the uncertainty told;
median and largest difference inside one fabric, of the photo's own pixels and as measured (what
evens out the light must bring them nearer to each other); the pairs made of all squares; those
flagged as open; those that the true colours would pair otherwise, and how many of these are
flagged. Then the errors by what the colours were judged by, and all by folder.
"""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import MET, Array, assign, bundle_of, corners_of, pairs_of

from catalog import pipeline
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.matching.stability import COULD_CHANGE
from catalog.models import Photo, Swatch

RIM = 0.8
"""Share of a square's side within which its pixels are averaged."""
SETS = ("pairs", "flagged", "otherwise", "of_these_flagged")


@dataclass(frozen=True)
class Row:
    """One photo's figures; None where the truth doesn't tell."""

    photo: str
    judged_by: str
    told: float
    measured: float | None
    covered: float | None
    raw_spread: tuple[float, float] | None
    spread: tuple[float, float] | None
    pairs: int
    flagged: int
    otherwise: int | None
    of_these_flagged: int | None


def raw_colours(photo: Photo, outlines: Array) -> Array:
    """CIELAB (n, 3) of the photo's own pixels, the means in linear light inside the outlines."""
    means = []
    for outline in outlines:
        middle = outline.mean(axis=0)
        inside = np.round(middle + (outline - middle) * RIM).astype(np.int32)
        x, y, wide, high = cv2.boundingRect(inside)
        x, y = max(x, 0), max(y, 0)
        part = photo.pixels[y : y + high, x : x + wide]
        mask = np.zeros(part.shape[:2], np.uint8)
        cv2.fillConvexPoly(mask, inside - (x, y), 1)
        means.append(lab.srgb_to_linear(part[mask > 0] / 255.0).mean(axis=0))
    return lab.linear_to_lab(np.array(means))


def spread(colours: Array, fabrics: list[str | None]) -> tuple[float, float] | None:
    """Median and largest difference between squares of one fabric."""
    known = np.array([fabric or f"unknown {place}" for place, fabric in enumerate(fabrics)])
    same = (known[:, None] == known)[np.triu_indices(len(known), 1)]
    off = ciede2000_matrix(colours)[np.triu_indices(len(known), 1)][same]
    return (float(np.median(off)), float(off.max())) if off.size else None


def paired(bundle: pipeline.Bundle, true: dict[str, Array]) -> tuple[int, int, int, int]:
    """Pairs; those flagged; those that the true colours pair otherwise; of these, flagged.

    A twin of the same fabric instead is no change, as for the flag.
    """
    fabric = {one.label: one.fabric or one.label for one in bundle.swatches}

    def cloths(labels: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(sorted(fabric[label] for label in labels))

    def corrected(one: Swatch) -> Swatch:
        return replace(one, lab=tuple(map(float, true[one.label])))

    known = tuple(one for one in bundle.swatches if one.label in true)
    mine = pairs_of(replace(bundle, swatches=known))
    theirs = pairs_of(replace(bundle, swatches=tuple(map(corrected, known))), doubts=False)
    best = {label: cloths(one.swatches) for one in theirs for label in one.swatches}
    flagged = [COULD_CHANGE in one.flags for one in mine]
    other = [any(best.get(s) != cloths(one.swatches) for s in one.swatches) for one in mine]
    both = sum(a and b for a, b in zip(flagged, other, strict=True))
    return len(mine), sum(flagged), sum(other), both


def row(path: Path) -> Row:
    """Run the tool on one photo and compare."""
    bundle, squares = bundle_of(path)
    photo = bundle.photos[0]
    outlines = np.array([s["polygon"] for s in squares], dtype=float).reshape(-1, 4, 2)
    told = np.array([corners_of(one.square) for one in bundle.swatches])
    met = [(i, j) for i, j, share in assign(told, outlines) if share >= MET]
    mine, theirs = [bundle.swatches[i] for i, _ in met], [squares[j] for _, j in met]
    colours = np.array([one.lab for one in mine])
    fabrics = [one.get("fabric_id") for one in theirs]
    measured = covered = None
    sets: tuple[int, int, int | None, int | None]
    if all(one.get("mean_lab") for one in theirs):
        true = np.array([one["mean_lab"] for one in theirs])
        off = ciede2000(colours, true)
        measured = float(np.median(off))
        covered = float(np.mean(off <= [one.uncertainty for one in mine]))
        sets = paired(bundle, {one.label: colour for one, colour in zip(mine, true, strict=True)})
    else:
        made = pairs_of(bundle)
        sets = (len(made), sum(COULD_CHANGE in one.flags for one in made), None, None)
    return Row(
        path.stem,
        photo.light.evidence if photo.light else "",
        photo.light.expected_error if photo.light else 0.0,
        measured,
        covered,
        spread(raw_colours(photo.photo, outlines[[j for _, j in met]]), fabrics),
        spread(colours, fabrics),
        *sets,
    )


def cell(value: object) -> str:
    """Return a figure as it stands in a table."""
    if value is None:
        return ""
    if isinstance(value, tuple):
        return ", ".join(f"{one:.1f}" for one in value)
    return f"{value:.2f}" if isinstance(value, float) else str(value)


def by_evidence(rows: list[Row]) -> list[str]:
    """Return a line for each thing that colours were judged by."""
    lines = ["| judged by | told | measured | photos |", "|---|---|---|---|"]
    for name in dict.fromkeys(one.judged_by for one in rows):
        those = [one for one in rows if one.judged_by == name and one.measured is not None]
        if those:
            off = ", ".join(
                f"{one.measured:.1f}" for one in sorted(those, key=lambda o: o.measured)
            )
            told = " to ".join(dict.fromkeys(f"{f(o.told for o in those):.1f}" for f in (min, max)))
            lines.append(f"| {name} | {told} | {off} | {len(those)} |")
    return lines


def by_folder(rows: dict[str, list[Row]]) -> list[str]:
    """Return a line for each folder: how well doubts cover, and what of the pairs is flagged."""
    names = ("photos", "off by", "covered, mean", "covered, least", *SETS)
    lines = [f"| {' | '.join(names)} |", "|---" * len(names) + "|"]
    for folder, all_rows in rows.items():
        known = [one for one in all_rows if one.covered is not None]
        if not known:
            continue
        covered = [one.covered for one in known]
        off = np.mean([one.measured for one in known])
        sums = [sum(getattr(one, name) for one in known) for name in SETS]
        told = [f"{len(known)} {folder}", f"{off:.2f}", f"{np.mean(covered):.3f}", min(covered)]
        lines.append(f"| {' | '.join(map(cell, (*told, *sums)))} |")
    return lines


def main() -> None:
    """Print the tables of all photos in the folders named."""
    names = list(Row.__dataclass_fields__)
    sys.stdout.write(f"| {' | '.join(names)} |\n{'|---' * len(names)}|\n")
    rows: dict[str, list[Row]] = {}
    for folder in sys.argv[1:]:
        for path in sorted(Path(folder).glob("*.jpg")):
            if not json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))["squares"]:
                continue
            rows.setdefault(Path(folder).name, []).append(row(path))
            cells = (cell(getattr(rows[Path(folder).name][-1], name)) for name in names)
            sys.stdout.write(f"| {' | '.join(cells)} |\n")
            sys.stdout.flush()
    evidence = by_evidence([one for several in rows.values() for one in several])
    sys.stdout.write("\n" + "\n".join([*evidence, "", *by_folder(rows)]) + "\n")


if __name__ == "__main__":
    main()
