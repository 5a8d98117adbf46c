"""Blocks drawn by chance, as a person could draw them on the page, and a quilt round them."""

from __future__ import annotations

from hypothesis import strategies as st

from catalog.cutting.units.units_by_name import find_unit
from catalog.pattern.data.drawn_tiles import DrawnBlock, Paint, Tile

SQUARE_UNITS = (
    *("square", "half-square-triangle", "quarter-square-triangle", "square-in-a-square"),
    *("flipped-corners", "one-flipped-corner", "sawtooth-star"),
)
CLOTHS = (
    {"role": "feature", "name": "figure", "match": 2},
    {"role": "background", "name": "ground", "from": "yardage"},
    {"role": "background", "name": "sky", "from": "yardage"},
    {"role": "background", "name": "moon", "from": "bundle"},
)
BOUGHT = ("ground", "sky")
TURNS = st.sampled_from((0, 90, 180, 270))


@st.composite
def tiles(draw, row, column, unit, wide=1, high=1):
    """A unit in its place, its first part from the bundle in some of them."""
    turn = draw(TURNS) if wide == high else draw(st.sampled_from((0, 180)))
    own = len(find_unit(unit).parts)
    names = [draw(st.sampled_from(BOUGHT)) for _ in range(own)]
    if unit in {"square", "rectangle"} and draw(st.booleans()):
        names[0] = draw(st.sampled_from(("figure", "moon")))
    tone = draw(st.integers(1, 2)) if names[0] == "figure" else 1
    paints = (Paint(names[0], tone), *(Paint(name) for name in names[1:]))
    return Tile(unit, row, column, wide, high, turn, paints)


@st.composite
def blocks(draw, across=None, down=None):
    """A block of units that come out: those that are made in pairs or fours lie in such numbers."""
    across, down = across or draw(st.integers(2, 5)), down or draw(st.integers(2, 4))
    found, free = [], {(r, c) for r in range(down) for c in range(across)}
    unit = draw(st.sampled_from(SQUARE_UNITS))
    pairs = [(r, c) for r in range(down) for c in range(0, across - 1, 2)]
    for r, c in pairs:
        if draw(st.booleans()):
            continue
        one = draw(tiles(r, c, unit))
        found += [one, Tile(unit, r, c + 1, 1, 1, draw(TURNS), one.paints)]
        free -= {(r, c), (r, c + 1)}
    wide = next(((r, c) for r, c in sorted(free) if (r, c + 1) in free), None)
    if wide and draw(st.booleans()):
        found.append(draw(tiles(*wide, "rectangle", wide=2)))
        free -= {wide, (wide[0], wide[1] + 1)}
    found += [draw(tiles(r, c, "square")) for r, c in sorted(free)]
    return DrawnBlock(across, down, tuple(found))


@st.composite
def settings_of_quilts(draw):
    """What is round the blocks: rows and columns, sashing, borders, binding."""
    how = draw(st.sampled_from(("straight", "straight", "offset rows")))
    layout = {"rows": 2 * draw(st.integers(1, 2)), "columns": draw(st.integers(2, 4)), "set": how}
    data = {"layout": layout}
    if draw(st.booleans()):
        posts = how == "straight" and draw(st.booleans())
        data["sashing"] = {"width": draw(st.sampled_from(("1", "1 1/2"))), "posts": posts}
    if draw(st.booleans()):
        corners = draw(st.sampled_from(("butted", "mitred", "posts")))
        inner = {"width": draw(st.sampled_from(("1 1/4", "3"))), "corners": corners}
        outer = {"width": "2", "pieced": "half-square-triangle", "fabrics": ["ground", "sky"]}
        data["border"] = [inner, *([outer] if draw(st.booleans()) else [])]
    if draw(st.booleans()):
        data["binding"] = {"strip": "2 1/4"}
    return data
