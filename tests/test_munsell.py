"""Munsell notations."""

import pytest

from catalog.colour.colour_names import published
from catalog.colour.munsell import lab_of_munsell, looks_munsell
from catalog.errors import UsageError


def test_notations_of_the_nbs_blocks():
    """Kelly's central notations, J. Res. NBS 61 (1958), as ``names/iscc_nbs.csv`` holds them."""
    checked = [row for row in published("iscc_nbs.csv")[::29] if float(row["L"]) > 12]
    assert len(checked) > 6
    for row in checked:
        found = lab_of_munsell(row["munsell"])
        assert found == pytest.approx([float(row[axis]) for axis in "Lab"], abs=0.006), row


@pytest.mark.parametrize("text", ["5R 3/2", "5R3/2", "5r3c2", " 5R 3 C 2 ", "5.0R 3.0/2.0"])
def test_ways_to_write_one(text):
    assert looks_munsell(text)
    assert lab_of_munsell(text) == pytest.approx(lab_of_munsell("5R 3/2"))


def test_neutrals_have_no_colour():
    for value, lightness in ((1, 10.4), (5, 51.0), (9, 90.2)):
        found = lab_of_munsell(f"N{value}/")
        assert found == pytest.approx((lightness, 0, 0), abs=0.1)
    """L* of Munsell values 1, 5 and 9 from the renotation's Y, ASTM D1535."""


@pytest.mark.parametrize(
    "text", ["5R 3/40", "12R 3/3", "5R 0.3/2", "N0.5", "N11", "5R 3", "R 3/2", "5X 3/2", "", "R3C2"]
)
def test_what_is_none(text):
    with pytest.raises(UsageError) as error:
        lab_of_munsell(text)
    assert "Munsell" in str(error.value)


@pytest.mark.parametrize("text", ["R3C2", "S017", "dusty teal", "5R3C", "#4f7f86", "N", "5RR 3/2"])
def test_what_does_not_look_like_one(text):
    assert not looks_munsell(text)
