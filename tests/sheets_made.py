"""A bundle, its sets and its plan, invented for the tests of pages."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.plans import BuyRow, ComparisonRow, CutRow, WallBlock, WallPlan
from catalog.cutting.quilt import Patch
from catalog.models import (
    Need,
    PaletteColour,
    Photo,
    PrintLook,
    Square,
    SquareSet,
    Swatch,
    Tally,
    TallyLine,
)
from catalog.report.pages.sheet_contents import Sheets
from catalog.report.pictures.crops import Picture, fitted

SIDE, STEP, EDGE = 60, 75, 40
FAMILIES = ("reds", "yellows", "greens", "blues")
HOSTILE = "<script>alert('x')</script> & \"quoted\" <b>"


def print_of(lightness, share=0.5):
    """A palette on a white ground, one colour of it of a lightness."""
    return (
        PaletteColour((lightness, 50.0, 10.0), share),
        PaletteColour((94.0, 0.0, 2.0), 0.875 - share, ground=True),
        PaletteColour((65.0, -25.0, -5.0), 0.125),
    )


def swatch(number, columns, photo="table.jpg", **changes):
    """The square of a number, from 0, in rows; four families by turns, ever lighter."""
    row, col = divmod(number, columns)
    x, y = EDGE + STEP * col, EDGE + STEP * row
    corners = ((x, y), (x + SIDE, y), (x + SIDE, y + SIDE), (x, y + SIDE))
    turn = number % 4
    lightness = 20.0 + (number * 7) % 65
    given = {
        "label": f"R{row + 1}C{col + 1}",
        "photo": photo,
        "square": Square(corners, row + 1, col + 1, 5.0, 5.0, 0.99),
        "lab": (lightness, *((35.0, 20.0), (5.0, 45.0), (-35.0, 20.0), (5.0, -35.0))[turn]),
        "print_kind": "plain",
        "busyness": 1.0,
        "colour_name": "moderate something",
        "value": "dark" if lightness < 40 else "medium" if lightness < 65 else "light",
        "fabric": f"F{number % 7:02d}",
        "family": FAMILIES[turn],
    }
    if number % 3 == 2:  # the others as a bundle has them that was kept without palettes
        given |= {"palette": print_of(lightness), "palette_at_wall": print_of(lightness, 0.625)}
        given |= {"look": PrintLook("large", "stripe", True, (1.25, 0.0))}
    return Swatch(**(given | changes))


def photo_of(swatches, columns, name="table.jpg"):
    """A photo of the squares on grey."""
    rows = -(-len(swatches) // columns)
    shape = (2 * EDGE + STEP * rows, 2 * EDGE + STEP * columns, 3)
    pixels = np.full(shape, 150, np.uint8)
    for one in swatches:
        (x, y), _, (right, low), _ = one.square.corners
        pixels[int(y) : int(low), int(x) : int(right)] = lab_to_srgb8(one.lab)
    return Photo(name, pixels)


def pairs_of(swatches, need="star points"):
    """Sets of two neighbours, the darker first."""
    sets = []
    for number, (one, two) in enumerate(zip(swatches[::2], swatches[1::2], strict=False), 1):
        dark, light = sorted((one, two), key=lambda square: square.lab[0])
        flags = ("far apart", "could change") if number == 2 else ()
        step = light.lab[0] - dark.lab[0]
        names = (dark.label, light.label)
        sets.append(SquareSet(number, names, 3.4 * number, step, "reds", False, flags, need))
    return tuple(sets)


def wall_of(sets, across=3):
    """The sets in rows, the last place empty."""
    blocks = []
    for number in range(len(sets) + 1):
        row, col = divmod(number, across)
        place = {
            "number": number + 1,
            "place": f"{chr(ord('A') + row)}{col + 1}",
            "row": row + 1,
            "column": col + 1,
            "x": 5.0 * col,
            "y": 5.0 * row,
            "turn": 90 * (number % 4),
            "press_inside": "row 1 right, row 2 left",
            "press_to_next": "right",
        }
        if number < len(sets):
            dark, light = sets[number].swatches
            place |= {
                "sets": (sets[number].number,),
                "squares": ((Patch("star", 1), dark), (Patch("star", 2), light)),
                "darker": dark,
                "darker_goes": "upper left and lower right",
                "lighter": light,
                "lighter_goes": "upper right",
                "one_way": ("R1C3",) if "R1C3" in (dark, light) else (),
            }
        else:
            place["note"] = "no set for this place"
        blocks.append(WallBlock(**place))
    return WallPlan("scattered", tuple(blocks), 10.0, None)


def tally_of(swatches, sets):
    """A pattern that falls short by one set, with its background to be bought."""
    serving = tuple(label for one in sets for label in one.swatches)
    points = Need("star points", "feature", "square", Fraction(5), len(serving) + 2, 2)
    ground = Need("sky", "background", "square", Fraction(9, 2), 1200, source="yardage")
    lines = (
        TallyLine(points, len(serving), 2, 1, serving, "1 set short; no reds are left"),
        TallyLine(ground, 0, 0, 0, (), "to be bought: fabric for 1,200 squares of 4 1/2 in"),
    )
    unused = tuple(one.label for one in swatches if one.label not in serving)
    return Tally("Evening stars", lines, unused)


def jpeg_of(wide=600, high=400):
    """The bytes of a picture that goes from red to blue."""
    across = np.linspace(0, 255, wide)[None, :] * np.ones((high, 1))
    pixels = np.stack([255 - across, across * 0 + 60, across], axis=2).astype(np.uint8)
    picture: Picture = fitted([pixels], 1 << 20)[0]
    return picture.jpeg


def made(number=12, columns=4, **changes):
    """A whole bundle: all that the pages show."""
    swatches = tuple(swatch(place, columns) for place in range(number))
    sets = pairs_of(swatches[: number - 2])
    given = {
        "title": "Bundle from the market",
        "swatches": swatches,
        "photos": (photo_of(swatches, columns),),
        "made_on": "3 May 2026",
        "sure": ("Colours are judged by the grey ground.",),
        "marks": {swatches[-1].label: ("held back",)},
        "sets": sets,
        "tally": tally_of(swatches, sets),
        "rows": (
            ComparisonRow("block, finished", "9", "8 3/4", "1/4 in too small", fits=False),
            ComparisonRow("binding, joined", "110", "110", ""),
        ),
        "cuts": (
            CutRow("squares in hand", "star", 10, Fraction(5), Fraction(5), "as it is", "to 4 in"),
            CutRow("sky", "strip", 4, Fraction(5, 2), Fraction(4001, 1000), "from 2 strips"),
        ),
        "buys": (
            BuyRow(
                "sky",
                Fraction(36),
                Fraction(33),
                Fraction(40),
                "1 yd",
                ("2 strips",),
                Fraction(5, 2),
            ),
        ),
        "cautions": ("Close the guard after every cut.",),
        "advice": ("A light background shows these squares best.",),
        "wall": wall_of(sets),
        "wall_jpeg": jpeg_of(),
    }
    return Sheets(**(given | changes))
