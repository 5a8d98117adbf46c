import json
from dataclasses import replace
from fractions import Fraction

import numpy as np

from catalog.models import (
    Found,
    Light,
    Matching,
    Need,
    Photo,
    SeenPage,
    Square,
    SquareSet,
    Swatch,
    Tally,
    TallyLine,
)
from catalog.report.tables.json_object import json_object

PHOTO = Photo("Küche.jpg", np.zeros((30, 40, 3), np.uint8))
CORNERS = ((1.0, 2.0), (11.123456, 2.0), (11.0, 12.0), (1.0, 12.0))
SWATCH = Swatch(
    label="R1C1",
    photo="Küche.jpg",
    square=Square(CORNERS, 1, 1, 5.0, 4.9, 0.25, ("folded",)),
    lab=(50.0, 3.0, 4.0),
    print_kind="busy",
    busyness=7.891,
    colour_name="reddish gray",
    flags=("folded", "in shadow"),
)
LOOSE = Swatch("S002", "Küche.jpg", Square(CORNERS, None, None, 5.0, 5.0, 1.0), (80, 0, 0), "", 0)
LIGHT = Light(
    np.array([1.1, 1.0, 0.9]),
    np.ones((2, 2, 3), np.float32),
    "a grey card",
    1.25,
    float("nan"),
    question="lamp",
)
SET = SquareSet(1, ("R1C1", "S002"), 2.345678, 30.0, "reds", False, ("far apart",), "stars")
MATCHING = Matching((SET,), ("S009",), 2.345678, 2.3, 4)
NEED = Need("stars", "feature", "square", Fraction(39, 8), 8, 2)
TALLY = Tally("A test", (TallyLine(NEED, 6, 2, 0, ("R1C1",), "2 short"),), ("S009",))


def full():
    text = json_object(
        [PHOTO],
        [SWATCH, LOOSE],
        lights={PHOTO.name: LIGHT},
        found={PHOTO.name: Found((SWATCH.square,), 10.0, 3)},
        matching=MATCHING,
        tally=TALLY,
        files=("out/swatches.csv",),
    )
    assert text.endswith("}\n")
    return json.loads(text, parse_constant=lambda word: 1 / 0)


def test_photos_and_their_light():
    assert full()["photos"] == [
        {
            "name": "Küche.jpg",
            "pixels_wide": 40,
            "pixels_high": 30,
            "cut_off": 3,
            "light": {
                "evidence": "a grey card",
                "unevenness": 1.25,
                "expected_error": None,
                "tint": [1.1, 1.0, 0.9],
                "question": "Was a lamp on?",
            },
            "reference_page": None,
            "doubts": [],
        }
    ]


def test_swatches():
    first, second = full()["swatches"]
    assert first == {
        "swatch": "R1C1",
        "photo": "Küche.jpg",
        "row": 1,
        "col": 1,
        "corners": [[1.0, 2.0], [11.12, 2.0], [11.0, 12.0], [1.0, 12.0]],
        "width_in": 5.0,
        "height_in": 4.9,
        "lab": [50.0, 3.0, 4.0],
        "chroma": 5.0,
        "hue": 53.1,
        "hex": first["hex"],
        "colour_name": "reddish gray",
        "family": "",
        "value": "medium",
        "print": "busy",
        "busyness": 7.89,
        "fabric": "",
        "confidence": 0.25,
        "flags": ["folded", "in shadow"],
        "uncertainty": None,
        "munsell_value": 4.9,
        "palette": [],
        "ground_hex": "",
        "print_scale": "",
        "directional": None,
        "reads": "medium",
    }
    assert first["hex"].startswith("#")
    assert second["row"] is second["col"] is None


def test_sets_matching_tally_files():
    found = full()
    assert found["sets"][0]["swatches"] == ["R1C1", "S002"]
    assert found["sets"][0]["difference"] == 2.3
    assert found["matching"] == {"wanted": 4, "total": 2.346, "bound": 2.3, "unused": ["S009"]}
    assert found["tally"]["enough"] is False
    assert found["tally"]["lines"][0]["size_in"] == 4.875
    assert found["tally"]["lines"][0]["short"] == 2
    assert found["files"] == ["out/swatches.csv"]


def test_a_run_without_pattern_or_sets():
    found = json.loads(json_object([PHOTO], []))
    assert list(found) == ["photos", "swatches", "sets", "matching", "tally", "plan", "files"]
    assert found["plan"] is None
    assert found["sets"] == []
    assert found["matching"] is found["tally"] is found["photos"][0]["light"] is None


def test_a_reference_page_tells_how_large_it_was_printed():
    page = SeenPage("A4", np.zeros((3, 4, 2)), np.zeros((3, 4, 2)), np.eye(3), 0.96)
    found = Found((SWATCH.square,), 10.0, page=page, scale_doubt=0.00412)
    (photo,) = json.loads(json_object([PHOTO], [], found={PHOTO.name: found}))["photos"]
    told = {"paper": "A4", "marks": 3, "printed": 0.96, "size_error": 0.0041}
    assert photo["reference_page"] == told
    bent = replace(found, scale_doubt=None)
    (photo,) = json.loads(json_object([PHOTO], [], found={PHOTO.name: bent}))["photos"]
    assert photo["reference_page"]["size_error"] is None
