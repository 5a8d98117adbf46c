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

JUST_SEEN = 0.8
"""CIEDE2000 that half of observers can just see (Paravina et al. 2015)."""

NEUTRALS = ("black", "dark gray", "medium gray", "light gray", "white")
NEUTRAL_BORDERS = (25.3, 45.9, 66.0, 85.4)
"""L* of Munsell value 2.5, 4.5, 6.5 and 8.5 (ASTM D1535), which part the neutrals in NBS SP 440."""

NEUTRAL_CHROMA = (2.55, 0.86, 111.0)
"""C*ab of Munsell chroma 0.5, where NBS SP 440 ends its neutrals: mean, swing, and the hue
angle where it is greatest; fitted to the renotation, values 2 to 9, rms 0.5 (``tests/bench/colour_tables.py``)."""


def published(name: str) -> list[dict[str, str]]:
    """Return the rows of a table in ``names``, which says in its head where it is from."""
    text = (files("catalog.colour") / "names" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def name_colour(lab: ArrayLike) -> tuple[str, tuple[str, ...]]:
    """Name a colour by the ISCC-NBS system (NBS Special Publication 440).

    Neutrals are told apart by the system's own borders of Munsell value, all other colours
    by the nearest middle of a block.

    Parameters
    ----------
    lab : array_like, (3,)
        CIELAB D65.

    Returns
    -------
    name : str
        Lower case, in the system's own spelling, such as ``light purplish pink``.
    near : tuple of str
        Other names that are as good to within `JUST_SEEN`, nearest first.
    """
    colour = np.asarray(lab, np.float64)
    names, middles = _blocks()
    distances = ciede2000(colour, middles)
    ranked = sorted(zip(distances.tolist(), names, strict=True))
    tinted = [name for distance, name in ranked if distance <= ranked[0][0] + JUST_SEEN]
    strength, limit = float(chroma(colour)), float(_neutral_limit(colour))
    stretch = limit / max(strength, 1e-9)
    at_limit = colour * (1.0, stretch, stretch)
    at_border = strength > 0.0 and float(ciede2000(colour, at_limit)) <= JUST_SEEN / 2
    if strength < limit:
        found = _neutrals(colour) + (tinted if at_border else [])
    else:
        found = tinted + (_neutrals(colour) if at_border else [])
    return found[0], tuple(found[1:])


def name_colours(colours: ArrayLike) -> list[str]:
    """Name many colours, CIELAB (n, 3), each as `name_colour` does."""
    all_of_them = np.asarray(colours, np.float64).reshape(-1, 3)
    names, middles = _blocks()
    nearest = ciede2000(all_of_them[:, None], middles).argmin(axis=1)
    tinted = chroma(all_of_them) >= _neutral_limit(all_of_them)
    steps = np.searchsorted(NEUTRAL_BORDERS, all_of_them[:, 0], side="right")
    return [
        names[block] if has_hue else NEUTRALS[step]
        for block, has_hue, step in zip(nearest, tinted, steps, strict=True)
    ]


def _neutral_limit(colour: Floats) -> Floats:
    """Return the chroma, (...), below which colours (..., 3) are neutral."""
    mean, swing, peak = NEUTRAL_CHROMA
    return np.asarray(mean + swing * np.cos(np.radians(hue_angle(colour) - peak)))


def _neutrals(colour: Floats) -> list[str]:
    """Return the neutral of this lightness, then one whose border is as near as no matter."""
    step = int(np.searchsorted(NEUTRAL_BORDERS, colour[0], side="right"))
    names = [NEUTRALS[step]]
    for border, beyond in ((step - 1, step - 1), (step, step + 1)):
        if 0 <= border < len(NEUTRAL_BORDERS):
            there = (NEUTRAL_BORDERS[border], colour[1], colour[2])
            if float(ciede2000(colour, there)) <= JUST_SEEN / 2:
                names.append(NEUTRALS[beyond])
    return names


@cache
def _blocks() -> tuple[tuple[str, ...], Floats]:
    """Return the names of all but the neutral blocks, sorted, and their middles (n, 3)."""
    rows = [row for row in published("iscc_nbs.csv") if row["name"] not in NEUTRALS]
    rows.sort(key=lambda row: row["name"])
    middles = np.array([[float(row[axis]) for axis in "Lab"] for row in rows])
    return tuple(row["name"] for row in rows), middles
