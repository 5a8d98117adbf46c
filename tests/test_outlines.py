"""Places and corners as a person types them."""

import pytest

from catalog.catalogue.records import StoredPhoto
from catalog.errors import CalicountError, UsageError
from cli.corrections.typed_outlines import corners_of, row_and_column

PHOTO = StoredPhoto(1, 1, "left.jpg", "0" * 64, 1000, 800, 0, 20.0)
CLOCKWISE = ((100.0, 100.0), (200.0, 110.0), (190.0, 210.0), (95.0, 205.0))


def typed(points):
    return " ".join(f"{x:g},{y:g}" for x, y in points)


@pytest.mark.parametrize(("text", "place"), [("R3C5", (3, 5)), (" r12c1 ", (12, 1))])
def test_places(text, place):
    assert row_and_column(text) == place


@pytest.mark.parametrize("text", ["", "R3", "3,5", "R0C1", "R1C0", "R1C1 R2", "R9999C1", "S001"])
def test_what_is_no_place(text):
    with pytest.raises(UsageError, match="no row and column"):
        row_and_column(text)


@pytest.mark.parametrize("first", range(4))
def test_corners_keep_the_one_that_was_named_first(first):
    named = CLOCKWISE[first:] + CLOCKWISE[:first]
    assert corners_of(typed(named), PHOTO) == named


def test_corners_named_the_other_way_round_are_turned():
    a, b, c, d = CLOCKWISE
    assert corners_of(typed((a, d, c, b)), PHOTO) == CLOCKWISE


def test_corners_named_crosswise_begin_at_the_top_left():
    a, b, c, d = CLOCKWISE
    for crossed in ((a, c, b, d), (c, a, d, b), (b, d, a, c)):
        assert corners_of(typed(crossed), PHOTO) == CLOCKWISE


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("1,1 2,2", "has 2 corners"),
        ("10,10 90,10 90,90 10,90 50,50", "has 5 corners"),
        ("10,10 90,10 90,90 10", "no corner"),
        ("10,10 90,10 90,90 x,90", "no corner"),
        ("10,10 90,10 90,90 nan,90", "no corner"),
        ("10,10 90,10 90,90 1e999,90", "no corner"),
        ("10,10 1090,10 90,90 10,90", "outside left.jpg"),
        ("10,10 90,10 90,-1 10,90", "outside left.jpg"),
        ("10,10 90,10 50,20 50,90", "make no square"),
        ("10,10 14,10 14,14 10,14", "make no square"),
        ("10,10 10,10 10,10 10,10", "make no square"),
    ],
)
def test_what_are_no_corners(text, why):
    with pytest.raises(CalicountError, match=why):
        corners_of(text, PHOTO)
