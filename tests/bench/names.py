"""What squares are called and where they lie, by their means and by their palettes.

    python tests/bench/names.py PHOTO|FOLDER...

Photos have their truth beside them as for `accuracy.py`. Prints Markdown tables. Photo by photo,
each print: its name and the family of its bundle before palettes (by its mean colour), its name in
standard terms and in everyday words, and its family now; plain squares have one colour and stay as
they were. Then, over all photos: squares; families before and now; of pairs of squares that are cut
from one print the share that lies in one family, before and now; and how many are multicoloured.
"""

from __future__ import annotations

import itertools
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from accuracy import MET, assign, bundle_of, corners_of

from catalog.bundle.families import MULTICOLOURED, tell_families
from catalog.bundle.naming.print_colours import print_colours
from catalog.bundle.naming.square_names import tell_names
from catalog.models import Swatch


@dataclass(frozen=True)
class Named:
    """One photo's squares, named both ways."""

    photo: str
    before: tuple[Swatch, ...]
    now: tuple[Swatch, ...]
    everyday: tuple[Swatch, ...]
    prints: tuple[bool, ...]
    """Whether each has several colours."""
    fabrics: tuple[str, ...]
    """True ones; empty where a square isn't known."""

    def together(self, swatches: Sequence[Swatch]) -> list[bool]:
        """Tell of each pair of squares of one print whether both are in one family."""
        told = zip(swatches, self.fabrics, self.prints, strict=True)
        known = [(one.family, fabric) for one, fabric, is_print in told if fabric and is_print]
        return [a[0] == b[0] for a, b in itertools.combinations(known, 2) if a[1] == b[1]]


def named(photo: str, swatches: Sequence[Swatch], fabrics: Sequence[str]) -> Named:
    """Name a bundle by its squares' means, and by their palettes."""
    means = [replace(one, palette=(), palette_at_wall=(), look=None) for one in swatches]
    return Named(
        photo,
        tell_families(tell_names(means)),
        tell_families(tell_names(swatches)),
        tell_names(swatches, "everyday"),
        tuple(len(colours) > 1 for colours in print_colours(swatches)),
        tuple(fabrics),
    )


def of_photo(photo: Path) -> Named:
    """Run the tool on one photo."""
    bundle, squares = bundle_of(photo)
    outlines = np.array([one["polygon"] for one in squares], dtype=float).reshape(-1, 4, 2)
    corners = np.array([corners_of(one.square) for one in bundle.swatches])
    true = {
        i: squares[j].get("fabric_id") for i, j, part in assign(corners, outlines) if part >= MET
    }
    fabrics = [str(true.get(place) or "") for place in range(len(corners))]
    return named(photo.stem, bundle.swatches, fabrics)


def table_of(one: Named) -> list[str]:
    """Return the table of one photo's prints."""
    lines = [f"\n{one.photo}: before {_counted(one.before)}; now {_counted(one.now)}\n"]
    lines += ["| square | before | now | everyday | family before | now |", "|---" * 6 + "|"]
    for old, new, plain, is_print in zip(
        one.before, one.now, one.everyday, one.prints, strict=True
    ):
        if is_print:
            names = (new.label, old.colour_name, new.colour_name, plain.colour_name)
            lines.append(f"| {' | '.join((*names, old.family, new.family))} |")
    return lines


def summary(several: Sequence[Named]) -> list[str]:
    """Return the table over all photos."""
    head = (
        "photo",
        "squares",
        "prints",
        "families before",
        "now",
        "together before",
        "now",
        "many",
    )
    lines = [f"\n| {' | '.join(head)} |", "|---" * len(head) + "|"]
    pairs: dict[str, list[bool]] = {"before": [], "now": []}
    for one in several:
        told = {"before": one.together(one.before), "now": one.together(one.now)}
        for when, each in told.items():
            pairs[when] += each
        families = [len({swatch.family for swatch in each}) for each in (one.before, one.now)]
        many = sum(swatch.family == MULTICOLOURED for swatch in one.now)
        cells = (
            one.photo,
            len(one.now),
            sum(one.prints),
            *families,
            *map(_share, told.values()),
            many,
        )
        lines.append(f"| {' | '.join(map(str, cells))} |")
    total = (len(pairs["now"]), *map(_share, pairs.values()))
    return [*lines, "", "{} pairs of one print; in one family {} before, {} now".format(*total)]


def _share(told: Sequence[bool]) -> str:
    return f"{np.mean(told):.2f}" if told else ""


def _counted(swatches: Sequence[Swatch]) -> str:
    counted = Counter(str(one.family) for one in swatches).most_common()
    return ", ".join(f"{name} {number}" for name, number in counted)


def main(paths: Sequence[str]) -> None:
    """Name the squares of photos and of folders of photos."""
    found = [Path(path) for path in paths]
    photos = [
        p for path in found for p in (sorted(path.glob("*.jpg")) if path.is_dir() else [path])
    ]
    several = [of_photo(photo) for photo in photos]
    print(*(line for one in several for line in table_of(one)), *summary(several), sep="\n")  # noqa: T201 - it is a report


if __name__ == "__main__":
    main(sys.argv[1:])
