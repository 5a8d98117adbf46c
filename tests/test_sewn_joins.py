"""Whether blocks beside each other are sewn together, seen in pictures drawn for it."""

from __future__ import annotations

import numpy as np
import pytest

from catalog.models import Photo, SeenPlace, WallCheck
from catalog.phrases import runs_of
from catalog.wall_checking.planned_wall import PlannedBlock, PlannedWall
from catalog.wall_checking.sewn_joins import with_joins

SIDE = 120
"""Pixels of a block."""
NAMES = [f"{row}{column}" for row in "AB" for column in (1, 2, 3)]
PLAN = PlannedWall(
    tuple(
        PlannedBlock(name, 4 + 8.0 * (n % 3), 4 + 8.0 * (n // 3), 8.0, 8.0, (), ())
        for n, name in enumerate(NAMES)
    )
)


def wall(gap_right, gap_below, seed=0):
    """A photo of two rows of three blocks of four cloths each, and where they hang."""
    rng = np.random.default_rng(seed)
    picture = np.full((380, 520, 3), 200.0) + rng.normal(0, 5, (380, 520, 1))
    places = []
    for n, name in enumerate(NAMES):
        x, y = 40 + (n % 3) * (SIDE + gap_right), 40 + (n // 3) * (SIDE + gap_below)
        for down in (0, 60):
            for across in (0, 60):
                cloth = rng.uniform(20, 235, 3) + rng.normal(0, 12, (60, 60, 1))
                picture[y + down : y + down + 60, x + across : x + across + 60] = cloth
        off = rng.uniform(-2, 2, (4, 2))
        corners = np.array([(x, y), (x + SIDE, y), (x + SIDE, y + SIDE), (x, y + SIDE)]) + off
        outline = tuple((float(a), float(b)) for a, b in corners)
        places.append(SeenPlace(name, "as planned", sure=1.0, photo="w.jpg", outline=outline))
    pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return Photo("w.jpg", pixels), WallCheck(tuple(places), wall_found=True)


def joins(gap_right, gap_below, seed=0):
    photo, check = wall(gap_right, gap_below, seed)
    return {one.place: one.joined_to for one in with_joins(check, [photo], PLAN).places}


@pytest.mark.parametrize("seed", range(3))
def test_blocks_with_the_wall_between_them_are_loose_and_those_without_are_sewn(seed):
    assert set(joins(6, 6, seed).values()) == {()}
    assert joins(0, 6, seed) == {
        "A1": ("A2",), "A2": ("A1", "A3"), "A3": ("A2",),
        "B1": ("B2",), "B2": ("B1", "B3"), "B3": ("B2",),
    }  # fmt: skip
    assert joins(0, 0, seed)["A2"] == ("A1", "A3", "B2")


def test_what_is_missing_or_beyond_the_photo_is_sewn_to_nothing():
    photo, check = wall(0, 6)
    first = check.places[0]
    lost = SeenPlace(first.place, "missing", photo="w.jpg", outline=first.outline)
    told = with_joins(WallCheck((lost, *check.places[1:]), wall_found=True), [photo], PLAN)
    assert told.places[0].joined_to == ()
    assert told.places[1].joined_to == ("A3",)
    near = Photo("w.jpg", photo.pixels[:150])
    assert with_joins(check, [near], PLAN).places[0].joined_to == ()


def test_places_that_follow_one_another_are_told_as_a_run():
    assert runs_of([]) == []
    assert runs_of(["A1", "A2", "A3", "B1", "B2", "C4"]) == ["A1 to A3", "B1", "B2", "C4"]
    assert runs_of(["A9", "A10", "A11"]) == ["A9 to A11"]
