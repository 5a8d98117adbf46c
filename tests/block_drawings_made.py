"""Drawings of blocks in several styles, each with its truth: what a page of a pattern may show.

Blocks are those with names and random ones of the units that blocks hold; a style says how they are
drawn and how the drawing reached the screen: clean, scanned, or photographed askew in uneven light.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import cv2
import numpy as np

from catalog.cutting.block_seams import sewing_order
from catalog.cutting.quilt import Block, BlockUnit, Cell, Patch
from catalog.cutting.quilt_units import kind_of
from catalog.cutting.unit_faces import turned
from catalog.pattern.blocks.coloured_block import BlockColour, ColouredBlock
from catalog.pattern.blocks.known_blocks import known_blocks

LEFT_OUT = {"log cabin", "courthouse steps", "economy patch", "windmill"}
"""Known blocks whose units aren't looked for in drawings."""
COLOURS = (
    BlockColour("feature", "feature"),
    BlockColour("accent", "feature"),
    BlockColour("background", "background"),
)
FINE = 2
"""Pixels drawn for each that is kept, either way."""


@dataclass(frozen=True)
class Style:
    """How a block is drawn, and how the drawing came to be a picture."""

    name: str
    fills: str
    """``flat``, ``grey``, ``hatch``, ``pencil`` or ``none``."""
    lines: float
    """Width of seam lines, in hundredths of the block's side; 0 for none."""
    frame: float
    wobble: float = 0.0
    """Of drawn lines, in hundredths of the block's side."""
    tilt: float = 0.0
    """How far corners are moved by the view, as a share of the side."""
    light: float = 0.0
    """How much darker the darkest corner is."""
    noise: float = 0.0
    jpeg: int = 0
    blur: float = 0.0
    ink: tuple[int, int, int] = (20, 20, 20)
    paper: tuple[int, int, int] = (255, 255, 255)
    caption: bool = True
    desk: bool = False
    """Whether the page lies on a table that is seen round it."""
    chrome: bool = False
    """Whether a program's window is seen round it."""


STYLES = (
    Style("outline", "none", 0.5, 0.7),
    Style("grey print", "grey", 0.5, 0.7, noise=3, blur=0.6, jpeg=80),
    Style("colour diagram", "flat", 0.9, 1.2, jpeg=85),
    Style("fills alone", "flat", 0.0, 0.5, jpeg=85),
    Style("thick lines", "flat", 2.0, 2.4, noise=3, jpeg=75),
    Style("hatched", "hatch", 0.6, 0.9, noise=4, blur=0.5, jpeg=80),
    Style("hand drawn", "pencil", 0.6, 0.7, wobble=0.7, noise=5, blur=0.6, jpeg=80,
          ink=(90, 88, 95), paper=(250, 248, 240)),
    Style("photographed page", "grey", 0.5, 0.7, tilt=0.12, light=0.45, noise=5, blur=0.9, jpeg=75,
          paper=(246, 242, 232), desk=True),
    Style("photographed colours", "flat", 0.7, 0.9, tilt=0.10, light=0.35, noise=5, blur=0.8,
          jpeg=70, paper=(250, 248, 244), desk=True),
    Style("screenshot", "flat", 0.4, 0.6, jpeg=90, chrome=True),
)  # fmt: skip


@dataclass(frozen=True)
class MadeDrawing:
    """A picture and what is drawn in it."""

    picture: np.ndarray
    """(height, width, 3), uint8, RGB."""
    truth: ColouredBlock
    corners: np.ndarray
    """(4, 2) px, clockwise from the block's upper left."""
    name: str


def made_drawing(style: Style, seed: int) -> MadeDrawing:
    """Draw a block in a style; the same for the same seed."""
    rng = random.Random(f"{style.name} {seed}")
    name, truth = _some_block(rng)
    picture, corners = _drawn(truth, style, rng)
    return MadeDrawing(picture, truth, corners, name)


def _some_block(rng: random.Random) -> tuple[str, ColouredBlock]:
    if rng.random() < 0.5:
        known = rng.choice([one for one in known_blocks() if one.name not in LEFT_OUT])
        return known.name, known.drawn
    while True:
        block = _random_block(rng)
        if block is not None and len(block.cells) > 1 and sewing_order(block) is not None:
            return "random", ColouredBlock(block, COLOURS)


_SIZES = (("square", 1, 1), ("half-square-triangle", 1, 1), ("quarter-square-triangle", 1, 1),
          ("flying-geese", 2, 1), ("rectangle", 2, 1), ("rectangle", 3, 1), ("square", 2, 2),
          ("half-square-triangle", 2, 2), ("one-flipped-corner", 2, 2),
          ("square-in-a-square", 2, 2), ("flipped-corners", 3, 3))  # fmt: skip
_WEIGHTS = (5, 6, 2, 3, 2, 1, 1.5, 1, 1, 1, 1)


def _random_block(rng: random.Random) -> Block | None:
    across = rng.choice([2, 3, 3, 4, 4, 4, 5, 6])
    down = across if rng.random() < 0.8 else max(2, across + rng.choice([-1, 1, 2]))
    free = {(r, c) for r in range(down) for c in range(across)}
    units: dict[tuple, int] = {}
    made, cells = [], []
    sorts = rng.sample(range(len(_SIZES)), 4)
    while free:
        place = min(free)
        name, wide, high = _SIZES[rng.choices(sorts, [_WEIGHTS[one] for one in sorts])[0]]
        turn = rng.choice([0, 90, 180, 270])
        own = (high, wide) if turn % 180 else (wide, high)
        covered = {(place[0] + i, place[1] + j) for i in range(own[1]) for j in range(own[0])}
        if not covered <= free:
            name, wide, high, own, covered = "square", 1, 1, (1, 1), {place}
        if name in {"square", "rectangle", "square-in-a-square", "flipped-corners"}:
            wide, high, turn = *own, 0
        if name == "quarter-square-triangle":
            turn %= 180
        parts = len(kind_of(BlockUnit("A", name, None, (), wide, high)).parts)
        first, *rest = rng.sample([one.name for one in COLOURS], 3)
        colours = (first, *rest)[:parts] if parts > 1 else (rng.choice([first, *rest]),)
        key = (name, wide, high, colours)
        if key not in units:
            units[key] = len(made)
            patches = tuple(Patch(one) for one in colours)
            made.append(BlockUnit(chr(65 + len(made)), name, None, patches, wide, high))
        cells.append(Cell(units[key], *place, *own, turn))
        free -= covered
    if len(made) > 20:
        return None
    return Block(across, tuple(made), tuple(cells), None if down == across else down)


def polygons_of(truth: ColouredBlock) -> list[tuple[np.ndarray, str, int]]:
    """Return every patch as its corners in cells, its colour, and the number of its cell."""
    found = []
    for number, cell in enumerate(truth.block.cells):
        unit = truth.block.units[cell.unit]
        for part, patch in zip(kind_of(unit).parts, unit.patches, strict=True):
            for polygon in part.polygons:
                shape = [turned((float(x), float(y)), cell.turn) for x, y in polygon]
                at = [(cell.column + x * cell.wide, cell.row + y * cell.high) for x, y in shape]
                found.append((np.array(at), patch.kind, number))
    return found


def _palette(style: Style, rng: random.Random) -> dict[str, np.ndarray]:
    if style.fills == "grey":
        greys = rng.sample([60, 95, 135, 170], 2)
        tones = [(greys[0],) * 3, (greys[1],) * 3, (rng.choice([255, 250, 225]),) * 3]
    else:
        base = rng.random() * 179
        hues = [(base + step) % 179 for step in (0, rng.uniform(35, 120))]
        tones = []
        for hue, value in zip(hues, rng.sample([120, 170, 215, 240], 2), strict=True):
            one = np.uint8([[[hue, rng.uniform(90, 220), value]]])
            tones.append(tuple(int(v) for v in cv2.cvtColor(one, cv2.COLOR_HSV2RGB)[0, 0]))
        tones.append(rng.choice([(255, 255, 255), (250, 245, 225), (228, 232, 236)]))
    names = [one.name for one in COLOURS]
    return {name: np.array(tone, float) for name, tone in zip(names, tones, strict=True)}


def _drawn(truth: ColouredBlock, style: Style, rng: random.Random) -> tuple[np.ndarray, np.ndarray]:
    block = truth.block
    side = rng.randint(340, 560) * FINE
    wide, high = side, round(side * block.down / block.across)
    left, top = rng.randint(60, 160) * FINE, rng.randint(70, 160) * FINE
    width, height = (
        wide + left + rng.randint(60, 260) * FINE,
        high + top + rng.randint(90, 200) * FINE,
    )
    canvas = np.full((height, width, 3), style.paper, np.uint8)
    cell = wide / block.across
    noise = np.random.default_rng(rng.randrange(2**32))
    fills, palette = _fills(style, rng), _palette(style, rng)
    shapes = [(at * cell + (left, top), colour) for at, colour, _ in polygons_of(truth)]
    for at, colour in shapes:
        _fill(canvas, at, fills[colour], palette[colour], style, noise)
    for at, _ in shapes:
        _line(canvas, at, style.lines, side, style, noise)
    frame = np.array([(left, top), (left + wide, top), (left + wide, top + high),
                      (left, top + high)], float)  # fmt: skip
    _line(canvas, frame, style.frame, side, style, noise)
    if style.caption:
        _captions(canvas, (left, top, wide, high), style, rng)
    if style.chrome:
        canvas, frame = _window(canvas, frame, rng)
    small = cv2.resize(canvas, (canvas.shape[1] // FINE, canvas.shape[0] // FINE),
                       interpolation=cv2.INTER_AREA)  # fmt: skip
    return _seen(small.astype(float), frame / FINE, style, rng, noise)


def _fills(style: Style, rng: random.Random) -> dict[str, tuple]:
    kinds = [("lines", rng.choice([45, 135]), rng.uniform(5, 8)),
             ("lines", rng.choice([0, 90]), rng.uniform(4, 7)),
             ("dots", 0, rng.uniform(6, 9)), ("solid", 0, 0)]  # fmt: skip
    one, two = rng.sample(kinds, 2)
    return {"feature": one, "accent": two, "background": ("blank", 0, 0)}


def _fill(canvas, at, fill, tone, style, noise):
    mask = np.zeros(canvas.shape[:2], np.uint8)
    cv2.fillPoly(mask, [np.round(at).astype(np.int32)], 255)
    inside = mask > 0
    if style.fills == "none":
        return
    if style.fills in {"flat", "grey"}:
        canvas[inside] = np.minimum(tone, style.paper)
    elif style.fills == "pencil":
        strength = 0.75 + 0.18 * _streaks(canvas.shape[:2], noise)
        washed = strength[..., None] * tone + (1 - strength[..., None]) * np.array(style.paper)
        canvas[inside] = np.clip(washed, 0, 255)[inside]
    else:
        canvas[inside & _pattern(canvas.shape[:2], fill)] = style.ink


def _streaks(shape, noise):
    rough = noise.normal(size=(shape[0] // 8 + 1, shape[1] // 2 + 1)).astype(np.float32)
    return np.clip(cv2.resize(rough, shape[::-1]), -2, 2)


def _pattern(shape, fill):
    kind, angle, space = fill
    y, x = np.mgrid[: shape[0], : shape[1]].astype(np.float32)
    space *= FINE
    if kind == "lines":
        a = np.deg2rad(angle)
        return (x * np.cos(a) + y * np.sin(a)) % space < 1.2 * FINE
    if kind == "dots":
        return (x % space - space / 2) ** 2 + (y % space - space / 2) ** 2 < (0.22 * space) ** 2
    return np.full(shape, kind == "solid")


def _line(canvas, at, share, side, style, noise):
    if not share:
        return
    width = max(1, round(share / 100 * side))
    ends = zip(at, np.roll(at, -1, axis=0), strict=True)
    for start, end in ends:
        steps = np.linspace(0, 1, 12)[:, None]
        points = start + (end - start) * steps
        if style.wobble:
            bend = noise.normal(size=2) * style.wobble / 100 * side
            sway = np.sin(np.pi * steps) * bend + noise.normal(size=(12, 2)) * 0.08 / 100 * side
            points = points + sway + noise.normal(size=2) * 0.25 / 100 * side
        cv2.polylines(canvas, [np.round(points * 16).astype(np.int32)], False, style.ink, width,
                      cv2.LINE_AA, 4)  # fmt: skip


WORDS = ("Fig. 3", "Make 12", "9 in finished", "Block A", "Cut 4", "Diagram 2", "press to dark")


def _captions(canvas, box, style, rng):
    left, top, wide, high = box
    spots = [(left, top + high + 50 * FINE), (left + wide + 18 * FINE, top + high // 2),
             (left, top - 28 * FINE)]  # fmt: skip
    for spot in rng.sample(spots, rng.choice([1, 2, 2, 3])):
        cv2.putText(canvas, rng.choice(WORDS), spot, cv2.FONT_HERSHEY_SIMPLEX, 0.55 * FINE,
                    style.ink, FINE, cv2.LINE_AA)  # fmt: skip


def _window(canvas, frame, rng):
    bar, edge = 46 * FINE, 90 * FINE
    shape = (canvas.shape[0] + bar + 30 * FINE, canvas.shape[1] + edge, 3)
    window = np.full(shape, (236, 238, 241), np.uint8)
    window[:bar] = rng.choice([(52, 58, 70), (222, 226, 230)])
    window[bar : bar + canvas.shape[0], edge:] = canvas
    for row in range(5):
        spot = (12 * FINE, bar + (24 + 30 * row) * FINE)
        cv2.putText(window, rng.choice(WORDS)[:8], spot, cv2.FONT_HERSHEY_SIMPLEX, 0.4 * FINE,
                    (60, 60, 60), FINE, cv2.LINE_AA)  # fmt: skip
    return window, frame + np.array([edge, bar])


def _seen(picture, frame, style, rng, noise):
    """Return the picture as a camera or a scanner gives it, with the block's corners in it."""
    high, wide = picture.shape[:2]
    if style.desk:
        picture, frame = _on_a_desk(picture, frame, style, rng, noise)
        high, wide = picture.shape[:2]
    if style.light:
        angle, y, x = rng.uniform(0, 6.28), *np.mgrid[0 : 1 : high * 1j, 0 : 1 : wide * 1j]
        slope = (np.cos(angle) * (x - 0.5) + np.sin(angle) * (y - 0.5)) / 1.42 + 0.5
        picture = picture * (1 - style.light * slope**1.5)[..., None]
    if style.blur:
        picture = cv2.GaussianBlur(picture, (0, 0), style.blur)
    if style.noise:
        picture = picture + noise.normal(size=picture.shape) * style.noise
    picture = np.clip(picture, 0, 255).astype(np.uint8)
    if style.jpeg:
        quality = [cv2.IMWRITE_JPEG_QUALITY, style.jpeg]
        _, data = cv2.imencode(".jpg", picture[..., ::-1], quality)
        picture = cv2.imdecode(data, cv2.IMREAD_COLOR)[..., ::-1]
    return np.ascontiguousarray(picture), frame


def _on_a_desk(picture, frame, style, rng, noise):
    high, wide = picture.shape[:2]
    edge = round(0.12 * max(high, wide))
    size = (wide + 2 * edge, high + 2 * edge)
    corners = np.float32([(0, 0), (wide, 0), (wide, high), (0, high)])
    moved = corners + edge + noise.uniform(-1, 1, (4, 2)) * style.tilt * min(high, wide) * 0.8
    matrix = cv2.getPerspectiveTransform(corners, moved.astype(np.float32))
    table = rng.choice([(120, 92, 66), (70, 74, 80), (168, 150, 128)])
    desk = np.full((size[1], size[0], 3), table, float)
    grain = cv2.resize(noise.normal(size=(size[1] // 3, 8)), size)
    desk += 8 * grain[..., None]
    page = cv2.warpPerspective(picture, matrix, size, flags=cv2.INTER_LINEAR)
    seen = cv2.warpPerspective(np.ones((high, wide)), matrix, size)[..., None]
    points = cv2.perspectiveTransform(frame[None].astype(np.float32), matrix)[0]
    return page * seen + desk * (1 - seen), points
