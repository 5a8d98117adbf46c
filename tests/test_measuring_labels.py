"""Hints by the bundle's labels, split by photo."""

import pytest

from catalog.errors import UsageError
from catalog.measuring import hints_by_photo
from catalog.models import Found, LightHints, Square

CORNERS = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))


def found(*places):
    return Found(tuple(Square(CORNERS, r, c, 5.0, 5.0, 1.0) for r, c in places), 50.0)


ROWS = found((1, 1), (1, 2), (2, 1))
LOOSE = found((None, None), (None, None))


def test_rows_of_a_later_photo_go_on():
    first, second = hints_by_photo([ROWS, ROWS], LightHints(white="R3C2", grey="R2C1"))
    assert (first.white, first.grey) == (None, "R2C1")
    assert (second.white, second.grey) == ("R1C2", None)


def test_squares_in_no_rows_are_counted_over_the_bundle():
    first, second = hints_by_photo([LOOSE, LOOSE], LightHints(white="s003"))
    assert (first.white, second.white) == (None, "S001")


def test_the_ground_is_said_of_every_photo():
    assert [h.ground for h in hints_by_photo([ROWS, LOOSE], LightHints(ground="mat"))] == [
        "mat"
    ] * 2


def test_a_lamp_is_said_of_every_photo():
    assert [h.lamp for h in hints_by_photo([ROWS, LOOSE], LightHints(lamp=True))] == [True] * 2


@pytest.mark.parametrize("hints", [LightHints(white="R9C9"), LightHints(grey="S001")])
def test_a_label_that_there_is_not_is_refused(hints):
    with pytest.raises(UsageError, match=r"no square of the bundle is called so; take a label"):
        hints_by_photo([ROWS], hints)
