"""What is to be put right on a wall, in which order and in which words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.models import Photo, SeenPlace, WallCheck
from catalog.report.pictures.checks.checked_picture import checked_picture
from catalog.report.tables.check_csv import check_csv
from catalog.wall.put_right.move_words import sure_words, words_of_move
from catalog.wall.put_right.moves_needed import moves_needed

NAMES = [f"{row}{column}" for row in "ABC" for column in (1, 2, 3)]
PLAN = WallPlan(
    "scattered",
    tuple(
        WallBlock(n, name, 1 + (n - 1) // 3, 1 + (n - 1) % 3, 0, 0, 0, sets=(n,),
                  darker_goes="lower right", lighter_goes="upper left")
        for n, name in enumerate(NAMES, 1)
    ),
    0.0,
    None,
)  # fmt: skip


def seen(**states):
    """A wall on which the places named hang as told: a state, or the place that is shown."""
    places = []
    for n, name in enumerate(NAMES):
        told = states.get(name, {})
        told = {"shows": told} if isinstance(told, str) and told in NAMES else told
        told = {"state": told} if isinstance(told, str) else dict(told)
        told.setdefault("state", "other" if "shows" in told else "as planned")
        x, y = 40 + 110 * (n % 3), 30 + 110 * (n // 3)
        told.setdefault("outline", ((x, y), (x + 100, y), (x + 100, y + 100), (x, y + 100)))
        places.append(SeenPlace(name, **{"sure": 0.95, "photo": "w.jpg", **told}))
    return WallCheck(tuple(places), wall_found=True)


def told(**states):
    return [words_of_move(move, PLAN) for move in moves_needed(seen(**states))]


@pytest.mark.parametrize(
    ("states", "words"),
    [
        ({}, []),
        ({"B3": "C1", "C1": "B3"}, ["B3 and C1 have changed places"]),
        (
            {"A1": "B2", "B2": "C3", "C3": "A1"},
            ["A1, B2 and C3 have gone round: what hangs at A1 belongs at B2, what hangs at B2 "
             "belongs at C3 and what hangs at C3 belongs at A1"],
        ),
        ({"B1": {"state": "turned", "turned_deg": 270}}, ["B1 hangs a quarter turn to the left"]),
        ({"B1": {"state": "turned", "turned_deg": 90}}, ["B1 hangs a quarter turn to the right"]),
        ({"B1": {"state": "turned", "turned_deg": 180}}, ["B1 hangs upside down"]),
        ({"A3": "sides"}, ["in A3 the darker cloth is upper left, it belongs lower right"]),
        ({"C1": "missing"}, ["C1 is missing"]),
        ({"C2": {"state": "other", "set_number": 14}}, ["C2 shows cloth of set 14, planned set 8"]),
        ({"C2": {"state": "other"}},
         ["the block at C2 isn't one of the plan's blocks, planned set 8"]),
        ({"A1": "C3", "C3": "missing"}, ["what hangs at A1 belongs at C3, where nothing hangs"]),
        ({"A1": "C3"}, ["A1 shows the same block as C3 once more, planned set 1"]),
        ({"A1": "C3", "C3": "can't tell"},
         ["what hangs at A1 belongs at C3", "C3 can't be told"]),
        ({"B2": {"state": "can't tell", "near": "it lies in a shadow."}},
         ["B2 can't be told: it lies in a shadow"]),
        ({"A1": {"shows": "A2", "turned_deg": 90}, "A2": "A1"},
         ["A1 and A2 have changed places", "what hangs at A1 is also a quarter turn to the right"]),
        ({"B2": "not in the photo"}, []),
    ],
)  # fmt: skip
def test_each_difference_has_its_words(states, words):
    assert told(**states) == words


def test_a_place_of_several_sets_names_them_all():
    block = replace(PLAN.blocks[4], sets=(3, 11))
    (move,) = moves_needed(seen(B2={"state": "other"}))
    words = words_of_move(move, replace(PLAN, blocks=(block,)))
    assert words == "the block at B2 isn't one of the plan's blocks, planned sets 3 and 11"


def test_of_a_chain_the_block_comes_first_that_frees_a_place():
    assert told(A1="A2", A2="A3", A3="missing") == [
        "what hangs at A2 belongs at A3, where nothing hangs",
        "what hangs at A1 belongs at A2",
    ]


def test_a_block_that_hangs_three_times_is_told_so():
    assert told(A1="A3", A2="A3") == [
        "A1 shows the same block as A3 once more, planned set 1",
        "A2 shows the same block as A3 once more, planned set 2",
    ]
    assert told(A1="A2", A2="A1", B1="A2")[1:] == [
        "B1 shows the same block as A2 once more, planned set 4"
    ]


def test_what_is_likely_comes_before_what_is_not_and_moving_before_turning():
    turned = {"state": "turned", "turned_deg": 90}
    assert told(
        A1={**turned, "sure": 0.99}, A2=turned, A3="sides", B1="can't tell", C1="missing", C2="C3",
        C3={"shows": "C2", "sure": 0.6},
    ) == [
        "C1 is missing",
        "A1 hangs a quarter turn to the right",
        "A2 hangs a quarter turn to the right",
        "in A3 the darker cloth is upper left, it belongs lower right",
        "C2 and C3 have changed places",
        "B1 can't be told",
    ]  # fmt: skip


def test_no_photo_is_wholly_sure():
    assert [sure_words(one) for one in (0.0, 0.876, 1.0)] == ["1 % sure", "88 % sure", "99 % sure"]


@pytest.fixture(scope="module")
def grey():
    return Photo("w.jpg", np.full((400, 400, 3), 128, np.uint8))


PLACES = {name: (4 + 8.0 * (n % 3), 4 + 8.0 * (n // 3), 8.0, 8.0) for n, name in enumerate(NAMES)}


def picture(grey, **states):
    check = seen(**states)
    return checked_picture(grey, check, moves_needed(check), PLACES)


def part(pixels, name):
    """The middle of a place in the picture: neither its frame nor its name."""
    n = NAMES.index(name)
    x, y = 40 + 110 * (n % 3), 30 + 110 * (n // 3)
    return pixels[y + 20 : y + 74, x + 14 : x + 86]


def test_what_hangs_right_stays_quiet_and_each_mark_has_a_shape_of_its_own(grey):
    quiet = picture(grey)
    assert (part(quiet, "B2") == 128).all()
    inked = {
        kind: (part(picture(grey, **states), "B2") != 128).any(axis=2)
        for kind, states in {
            "turned": {"B2": {"state": "turned", "turned_deg": 90}},
            "the other way": {"B2": {"state": "turned", "turned_deg": 270}},
            "sides": {"B2": "sides"},
            "stranger": {"B2": {"state": "other"}},
            "exchanged": {"B2": "B3", "B3": "B2"},
        }.items()
    }
    shapes = list(inked.values())
    assert all(one.any() for one in shapes)
    for n, one in enumerate(shapes):
        for other in shapes[n + 1 :]:
            assert (one ^ other).sum() > 100


def test_an_empty_place_is_drawn_where_its_neighbours_say(grey):
    nothing = {"state": "missing", "outline": None, "photo": ""}
    found = picture(grey, B2=nothing) != picture(grey)
    rows, columns = np.nonzero(found.any(axis=2))
    assert (rows.min(), columns.min()) == pytest.approx((140, 150), abs=6)
    assert (rows.max(), columns.max()) == pytest.approx((240, 250), abs=6)


def test_a_photo_shows_only_what_is_seen_in_it(grey):
    check = seen(A1={"photo": "other.jpg", "state": "missing"})
    shown = checked_picture(grey, check, moves_needed(check), PLACES)
    assert (part(shown, "A1") == 128).all()
    assert (shown[30:40, 40:140] == 128).all()


def test_the_table_has_a_row_for_each_place():
    rows = check_csv(seen(A1="A2", B1={"state": "missing", "outline": None}), PLAN).splitlines()
    assert len(rows) == 10
    assert rows[1] == "A1,other,A2,0,0.95,1,,w.jpg,40,30,140,30,140,130,40,130,"
    assert rows[4] == "B1,missing,,0,0.95,4,,w.jpg,,,,,,,,,"
