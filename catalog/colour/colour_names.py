"""Colours named by the ISCC-NBS system (NBS Special Publication 440)."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike, NDArray

from catalog.colour.ciede2000 import ciede2000
from catalog.colour.lab import chroma, hue_angle

Floats = NDArray[np.float64]

NEUTRALS = ("black", "dark gray", "medium gray", "light gray", "white")
NEUTRAL_BORDERS = (25.3, 45.9, 66.0, 85.4)
"""L* of Munsell value 2.5, 4.5, 6.5 and 8.5 (ASTM D1535), which part the neutrals in NBS SP 440."""

NEUTRAL_CHROMA = (2.55, 0.86, 111.0)
"""C*ab of Munsell chroma 0.5, where NBS SP 440 ends its neutrals: mean, swing, and the hue
angle where it is greatest; fitted to the renotation, values 2 to 9, rms 0.5
(``tests/bench/colour_tables.py``)."""

AT_ONCE = 512
"""Colours compared with all blocks at once: some 10 MB."""


def published(name: str) -> list[dict[str, str]]:
    """Return the rows of a table in ``names``, which says in its head where it is from."""
    text = (files("catalog.colour") / "names" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def name_colours(colours: ArrayLike) -> list[str]:
    """Name colours by the ISCC-NBS system.

    Neutrals are told apart by the system's own borders of Munsell value, all other colours
    by the nearest middle of a block.

    Parameters
    ----------
    colours : array_like, (n, 3)
        CIELAB D65.

    Returns
    -------
    list of str
        Lower case, in the system's own spelling, such as ``light purplish pink``.
    """
    all_of_them = np.asarray(colours, np.float64).reshape(-1, 3)
    names, middles = _blocks()
    nearest = np.concatenate(
        [
            ciede2000(all_of_them[start : start + AT_ONCE, None], middles).argmin(axis=1)
            for start in range(0, max(len(all_of_them), 1), AT_ONCE)
        ]
    )
    tinted = chroma(all_of_them) >= _neutral_limit(all_of_them)
    steps = np.searchsorted(NEUTRAL_BORDERS, all_of_them[:, 0], side="right")
    return [
        names[block] if has_hue else NEUTRALS[step]
        for block, has_hue, step in zip(nearest, tinted, steps, strict=True)
    ]


@cache
def everyday_words() -> dict[str, str]:
    """Return by the names of the ISCC-NBS system the everyday words for them."""
    return {row["name"]: row["word"] for row in published("cloth_words.csv")}


def _neutral_limit(colour: Floats) -> Floats:
    """Return the chroma, (...), below which colours (..., 3) are neutral."""
    mean, swing, peak = NEUTRAL_CHROMA
    return np.asarray(mean + swing * np.cos(np.radians(hue_angle(colour) - peak)))


@cache
def _blocks() -> tuple[tuple[str, ...], Floats]:
    """Return the names of all but the neutral blocks, sorted, and their middles (n, 3)."""
    rows = [row for row in published("iscc_nbs.csv") if row["name"] not in NEUTRALS]
    rows.sort(key=lambda row: row["name"])
    middles = np.array([[float(row[axis]) for axis in "Lab"] for row in rows])
    return tuple(row["name"] for row in rows), middles
