"""The accuracy promised in README, held on photos with truth beside the checkout.

Runs where the environment variable ``CALICOUNT_PHOTOS`` names a folder with ``dev`` (path-traced
photos with truth), ``real/cubes`` (camera photos of grids of stickers) and ``real/none`` (camera
photos without squares); its README tells their sources.
"""

import os
import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from accuracy import assign, score, truth_of

from catalog.finding import find_squares
from catalog.models import Photo

FOLDER = Path(os.environ.get("CALICOUNT_PHOTOS", ""))
needs_photos = pytest.mark.skipif(
    not os.environ.get("CALICOUNT_PHOTOS"), reason="CALICOUNT_PHOTOS names no folder"
)


def pictures(kind):
    return sorted((FOLDER / kind).glob("*.jpg")) if os.environ.get("CALICOUNT_PHOTOS") else []


def found_in(path):
    picture = cv2.imread(str(path), cv2.IMREAD_COLOR_RGB)
    return np.array([s.corners for s in find_squares(Photo(path.name, picture), 5.0).squares])


def tally(kind, enough):
    """Squares owed, met, and told that aren't there."""
    owed = met = false = 0
    for path in pictures(kind):
        true, visible = truth_of(path)
        told = found_in(path).reshape(-1, 4, 2)
        pairs = assign(told, true)
        owed += len(visible)
        met += sum(share >= enough and j in visible for _, j, share in pairs)
        false += len(told) - sum(share >= min(0.5, enough) for *_, share in pairs)
    return owed, met, false


@needs_photos
def test_every_square_of_the_dev_photos_and_no_other():
    owed, met, false = tally("dev", 0.8)
    assert owed == 566
    assert met == owed
    assert false == 0


@needs_photos
def test_grids_of_stickers():
    owed, met, false = tally("real/cubes", 0.6)
    assert met / owed >= 0.98
    assert false <= 1


@needs_photos
@pytest.mark.parametrize("path", pictures("real/none"), ids=lambda path: path.stem)
def test_pictures_without_squares(path):
    assert len(found_in(path)) == 0


@needs_photos
@pytest.mark.slow
def test_colours_fabrics_and_pairs_of_the_dev_photos():
    scores = [score(path) for path in pictures("dev")]

    def mean(name):
        return np.mean([value for one in scores if (value := getattr(one, name)) is not None])

    assert mean("differences") <= 1.4
    assert mean("fabrics") >= 0.98
    assert mean("regret_palettes") <= 0.5
