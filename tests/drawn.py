"""Bundles whose photos are never looked at: their squares and colours are drawn by chance.

What a square measures depends on its photo's bytes, where its corners are and what is said of the
light, and on nothing else, as with real photos; only it takes no time.
"""

from __future__ import annotations

import hashlib
import io
import json
import random
from functools import cache

import numpy as np
from PIL import Image

from catalog import analysis
from catalog.analysis import PhotoAnalysis
from catalog.models import (
    Found,
    Light,
    LightHints,
    PaletteColour,
    PrintLook,
    Square,
    Swatch,
    label_of,
)


def _picture():
    content = io.BytesIO()
    Image.new("RGB", (8, 8), "teal").save(content, "JPEG")
    return content.getvalue()


JPEG = _picture()
PIXELS = 100.0
"""A square's side in a drawn photo."""


@cache
def photo_file(seed):
    """Return the bytes of a photo that is never looked at: a small PNG file, each its own."""
    content = io.BytesIO()
    drawn = hashlib.sha256(json.dumps({"drawn": seed}).encode()).digest()
    Image.frombytes("L", (8, 4), drawn).save(content, "PNG")
    return content.getvalue()


def squares_in_rows(rows, cols, *, loose=0):
    """Return squares in rows, and loose ones below them."""
    step = PIXELS * 1.2
    told = [(r, c, r, c) for r in range(1, rows + 1) for c in range(1, cols + 1)]
    told += [(rows + 2, c, None, None) for c in range(1, loose + 1)]
    return tuple(
        Square(corners_at(c * step, r * step), row, col, 5.0, 5.0, 0.97) for r, c, row, col in told
    )


def corners_at(x, y, side=PIXELS):
    """Return the corners of an upright square whose first one is at x, y."""
    return ((x, y), (x + side, y), (x + side, y + side), (x, y + side))


def looked_at(seed, rows=2, cols=3, *, loose=0, name=None):
    """Return what a drawn photo gave, and its file."""
    content = photo_file(seed)
    found = Found(squares_in_rows(rows, cols, loose=loose), PIXELS / 5)
    return measured(content, name or f"photo {seed}.jpg", found, None, None), content


def measured(content, name, found, light, hints):
    """Stand in for `catalog.analysis.remeasure_photo`."""
    hints = hints or LightHints()
    light = light or _light(hints)
    swatches = tuple(
        _swatch(content, name, label_of(square, n), square, light)
        for n, square in enumerate(found.squares, start=1)
    )
    return PhotoAnalysis(
        name=name,
        digest=hashlib.sha256(content).hexdigest(),
        wide=2000,
        high=1500,
        found=found,
        light=light,
        swatches=swatches,
        crops=tuple(JPEG + str(s.lab).encode() for s in swatches),
    )


def stand_in(setattr_=setattr):
    """Let no photo be looked at from now on."""
    setattr_(analysis, "remeasure_photo", measured)
    setattr_(analysis, "with_joined_lights", lambda looked, content_of, **_: tuple(looked))


def _light(hints):
    said = json.dumps([hints.white, hints.grey, hints.ground, hints.lamp])
    chance = random.Random(said)
    return Light(
        tint=np.array([chance.uniform(0.7, 1.0) for _ in range(3)]),
        field=np.ones((2, 2, 3), np.float32),
        evidence=f"drawn by chance from {said}",
        unevenness=1.1,
        expected_error=2.0,
        question="lamp" if hints.lamp is None else None,
    )


def _swatch(content, name, label, square, light):
    chance = random.Random(f"{content!r} {square.corners} {light.tint.tolist()}")
    return Swatch(
        label=label,
        photo=name,
        square=square,
        lab=(chance.uniform(15, 92), chance.uniform(-40, 50), chance.uniform(-40, 60)),
        print_kind=chance.choice(["plain", "tonal", "busy"]),
        busyness=chance.uniform(0, 9),
        colour_name="a colour",
        flags=square.flags,
        signature=np.array([chance.random() for _ in range(229)], np.float32),
        uncertainty=chance.uniform(1, 4),
        own_uncertainty=chance.uniform(0.2, 1),
        palette=_palette(chance),
        palette_at_wall=_palette(chance),
        look=PrintLook(
            chance.choice(["plain", "tonal", "small", "medium", "large"]),
            chance.choice(["", "stripe", "check", "dots"]),
            chance.random() < 0.5,
            chance.choice([None, (chance.uniform(0.1, 2), chance.uniform(0.1, 2))]),
        ),
    )


def _palette(chance):
    share = chance.uniform(0.5, 0.9)
    colours = [
        (chance.uniform(15, 92), chance.uniform(-40, 50), chance.uniform(-40, 60)) for _ in range(2)
    ]
    return (
        PaletteColour(colours[0], share, chance.random() < 0.5),
        PaletteColour(colours[1], 1 - share),
    )
