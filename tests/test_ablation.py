"""The bench that leaves parts out still finds each of them in the code, and puts them back."""

import sys
from pathlib import Path
from unittest.mock import patch

import pytest

sys.path.insert(0, str(Path(__file__).parent / "bench"))

from ablation import Bench, Picture
from ablation_parts import NOTHING, PARTS
from scenes import draw

from catalog.models import Photo


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)
def test_what_is_left_out_is_there(part):
    for name, instead in part.instead.items():
        with patch(f"catalog.{name}", instead):
            pass


def test_a_part_left_out_is_put_back():
    scene = draw(4)
    every = frozenset(range(len(scene.corners)))
    bench = Bench(Picture("drawn", Photo("4", scene.picture), 5.0, scene.corners, every, ()))
    whole = bench.row(NOTHING)
    (ends,) = (part for part in PARTS if part.name == "ends")
    assert whole.owed == len(every)
    assert bench.row(ends).corners != whole.corners
    assert bench.row(NOTHING) == whole
