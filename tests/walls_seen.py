"""Photos of a wall in which what is said to hang there is what is seen."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from catalog import wall_checking
from catalog.models import SeenPlace, WallCheck
from catalog.wall import arrangement

SWAPPED = {"A1": {"state": "other", "shows": "A2"}, "A2": {"state": "other", "shows": "A1"}}


@pytest.fixture
def quickly_hung(monkeypatch):
    """Let blocks hang in a good order instead of the best, which takes most of a plan's time."""
    monkeypatch.setattr(arrangement, "MAX_SHUFFLES", 2)


@pytest.fixture(scope="session")
def wall_photo(tmp_path_factory):
    """A grey picture in which a wall is said to hang; its name is that of no file of ours."""
    place = tmp_path_factory.mktemp("walls") / "my wall, evening.png"
    Image.fromarray(np.full((90, 120, 3), 120, np.uint8)).save(place)
    return place


@pytest.fixture
def hangs(monkeypatch):
    """Let photos show what is told of places: all as planned, else a state or fields."""
    told = {}

    def check_wall(photos, plan, cloths):
        assert cloths
        places = []
        for n, block in enumerate(plan.blocks):
            how = told.get(block.place, {})
            how = {"state": how} if isinstance(how, str) else how
            x, y = 10.0 + 12 * (n % 4), 10.0 + 12 * (n // 4)
            outline = ((x, y), (x + 10, y), (x + 10, y + 10), (x, y + 10))
            usual = {"state": "as planned", "sure": 0.97, "photo": photos[0].name}
            places.append(SeenPlace(block.place, **{**usual, "outline": outline, **how}))
        return WallCheck(tuple(places), wall_found=told.get("found", True))

    monkeypatch.setattr(wall_checking, "check_wall", check_wall)

    def tell(**places):
        told.clear()
        told.update(places)

    return tell
