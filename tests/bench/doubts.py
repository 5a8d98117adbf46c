"""Whether what is told of doubt is true: photo by photo, and by what colours were judged by.

    python tests/bench/doubts.py FOLDER...

A folder holds photos with their truth as for `accuracy.py`. Prints Markdown tables, all colours in
CIEDE2000. Photo by photo: what the colours were judged by; how far they are off, median; the
uncertainty told, mean over the squares, and the share of squares whose true colour lies within it
(nine in ten are promised); the same share had the width been chosen, by one factor, on all other
photos (left out); what all squares have in common, as told and as measured (the median error of the
three channels, which moves all of them alike); the share of squares that lie within their own
doubt once that is taken off; where true colours aren't known, of pairs of squares of one fabric the
share whose difference lies within both squares' own doubts; how many squares are marked, and for
what. Then the same by kind of
evidence and by folder: each square counts once.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import MET, Array, assign, bundle_of, corners_of

from catalog import pipeline
from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000, ciede2000_matrix
from catalog.report.tables.csv_tables import look_again

KINDS = (
    ("chart", "a chart"),
    ("reference page", "a reference page"),
    ("card", "a card"),
    ("you call", "what the user calls white or grey"),
    ("white cloth", "a white sheet"),
    ("whites in the prints", "whites in the prints"),
    ("", "a guess: no white seen"),
)
"""Words of the evidence that tell its kind, the surest first, and what we call it."""
DARKEST = 0.004
"""Linear light below which a ratio says nothing."""
NINE_IN_TEN = 0.9


@dataclass(frozen=True)
class Checked:
    """One photo's squares: what was told of each, and what is true."""

    photo: str
    folder: str
    kind: str
    off: Array
    """(n,) CIEDE2000 to the true colours; empty where they aren't known."""
    told: Array
    own_told: Array
    own: Array
    """(n,) what is left once the photo's common error is taken off."""
    common: float
    common_told: float
    twins: Array
    """(k, 2) of squares of one fabric: how far apart, and how far that may be, all told."""
    flags: Counter[str]
    marked: int
    squares: int

    @property
    def ratio(self) -> Array:
        """How far off each square is, in what was told."""
        return self.off / np.maximum(self.told, 1e-9)


def kind_of(evidence: str) -> str:
    """Return what kind of evidence colours rest on."""
    return next(kind for words, kind in KINDS if words in evidence)


def checked(path: Path) -> Checked:
    """Run the tool on one photo and compare."""
    return compared(path, *bundle_of(path))


def compared(path: Path, bundle: pipeline.Bundle, squares: list[dict]) -> Checked:
    """Compare a bundle of one photo with its truth."""
    outlines = np.array([s["polygon"] for s in squares], dtype=float).reshape(-1, 4, 2)
    corners = np.array([corners_of(one.square) for one in bundle.swatches])
    met = [(i, j) for i, j, share in assign(corners, outlines) if share >= MET]
    mine, theirs = [bundle.swatches[i] for i, _ in met], [squares[j] for _, j in met]
    colours = np.array([one.lab for one in mine])
    told = np.array([one.uncertainty for one in mine])
    own_told = np.array([one.own_uncertainty for one in mine])
    known = all(one.get("mean_lab") for one in theirs)
    off = own = np.zeros(0)
    common = 0.0
    if known:
        true = np.array([one["mean_lab"] for one in theirs])
        even = without_common(colours, true)
        off, own = ciede2000(colours, true), ciede2000(even, true)
        common = float(np.median(ciede2000(even, colours)))
    marks = [look_again(one) for one in bundle.swatches]
    light = bundle.photos[0].light
    return Checked(
        path.stem,
        path.parent.name,
        kind_of(light.evidence if light else ""),
        off,
        told,
        own_told,
        own,
        common,
        float(np.median(np.sqrt(np.maximum(told**2 - own_told**2, 0.0)))),
        twins(colours, own_told, [one.get("fabric_id") for one in theirs]),
        Counter(flag for several in marks for flag in several),
        sum(map(bool, marks)),
        len(marks),
    )


def without_common(colours: Array, true: Array) -> Array:
    """Take off what all squares' errors have in common: one factor a channel."""
    lights = [np.log(np.maximum(lab.lab_to_linear(one), DARKEST)) for one in (colours, true)]
    apart = np.median(lights[0] - lights[1], axis=0)
    return lab.linear_to_lab(np.exp(lights[0] - apart))


def twins(colours: Array, own: Array, fabrics: list[str | None]) -> Array:
    """Return of each pair of squares of one fabric the difference, and what may be of it."""
    known = np.array([fabric or f"unknown {place}" for place, fabric in enumerate(fabrics)])
    one, two = np.nonzero(np.triu(known[:, None] == known, 1))
    return np.column_stack([ciede2000_matrix(colours)[one, two], np.hypot(own[one], own[two])])


def left_out(one: Checked, others: list[Checked]) -> float | None:
    """Return what a width would cover here that covers nine in ten on the others, photos alike."""
    ratios = [other.ratio for other in others if other.off.size]
    if not one.off.size or not ratios:
        return None
    weights = np.concatenate([np.full(len(each), 1.0 / len(each)) for each in ratios])
    every = np.concatenate(ratios)
    order = np.argsort(every)
    reached = np.cumsum(weights[order]) / weights.sum()
    factor = every[order][min(np.searchsorted(reached, NINE_IN_TEN), len(every) - 1)]
    return float(np.mean(one.ratio <= factor))


def share(told: Array, true: Array) -> float | None:
    """Return the share of the true that lies within the told."""
    return float(np.mean(true <= told)) if true.size else None


def cell(value: object) -> str:
    """Return a figure as it stands in a table."""
    if value is None:
        return ""
    return f"{value:.2f}" if isinstance(value, float) else str(value)


NAMES = (
    "photo", "judged by", "off", "told", "covered", "left out", "common told", "common",
    "own covered", "twins within", "marked", "why",
)  # fmt: skip


def row(one: Checked, others: list[Checked]) -> tuple[object, ...]:
    """Return one photo's figures, as in `NAMES`."""
    return (
        one.photo,
        one.kind,
        float(np.median(one.off)) if one.off.size else None,
        float(one.told.mean()),
        share(one.told, one.off),
        left_out(one, others),
        one.common_told,
        one.common if one.off.size else None,
        share(one.own_told, one.own) if one.off.size else None,
        None if one.off.size else share(one.twins[:, 1], one.twins[:, 0]),
        f"{one.marked} of {one.squares}",
        ", ".join(f"{flag} {number}" for flag, number in sorted(one.flags.items())),
    )


def group_row(name: str, those: list[Checked], everyone: list[Checked]) -> tuple[object, ...]:
    """Return a group's figures: photos, squares, mean told, shares covered."""
    known = [one for one in those if one.off.size]
    if not known:
        return (name, len(those), "", None, None, None, None, None)
    rest = {one.photo: left_out(one, [o for o in everyone if o is not one]) for one in known}
    sizes = [len(one.off) for one in known]
    return (
        name,
        len(known),
        sum(sizes),
        float(np.mean(np.concatenate([one.told for one in known]))),
        share(*(np.concatenate([getattr(o, a) for o in known]) for a in ("told", "off"))),
        float(np.average([rest[one.photo] or 0.0 for one in known], weights=sizes)),
        min(float(np.mean(one.off <= one.told)) for one in known),
        share(*(np.concatenate([getattr(o, a) for o in known]) for a in ("own_told", "own"))),
    )


GROUP_NAMES = (
    "group", "photos", "squares", "told", "covered", "left out", "least", "own covered",
)  # fmt: skip


def table(names: tuple[str, ...], rows: list[tuple[object, ...]]) -> str:
    """Return a Markdown table."""
    lines = [f"| {' | '.join(names)} |", "|---" * len(names) + "|"]
    return "\n".join([*lines, *(f"| {' | '.join(map(cell, one))} |" for one in rows)]) + "\n"


def tables(photos: list[Checked]) -> str:
    """Return all tables."""
    each = [row(one, [other for other in photos if other is not one]) for one in photos]
    groups = []
    for part in ("kind", "folder"):
        names = dict.fromkeys(getattr(one, part) for one in photos)
        groups += [
            group_row(name, [one for one in photos if getattr(one, part) == name], photos)
            for name in names
        ]
    return table(NAMES, each) + "\n" + table(GROUP_NAMES, groups)


def main() -> None:
    """Print the tables of all photos in the folders named."""
    photos = []
    for folder in sys.argv[1:]:
        for path in sorted(Path(folder).glob("*.jpg")):
            truth = path.with_suffix(".json")
            if truth.exists() and json.loads(truth.read_text(encoding="utf-8"))["squares"]:
                photos.append(checked(path))
                sys.stderr.write(f"{path.stem}\n")
    sys.stdout.write(tables(photos))


if __name__ == "__main__":
    main()
