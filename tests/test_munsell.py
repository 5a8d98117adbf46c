"""Munsell notations."""

import csv
from importlib.resources import files

import pytest

from catalog.colour.lab import ciede2000
from catalog.colour.munsell import lab_of_munsell, looks_munsell
from catalog.errors import UsageError


def test_notations_of_the_nbs_blocks():
    """Kelly's central notations, J. Res. NBS 61 (1958), as ``names/iscc_nbs.csv`` holds them."""
    text = (files("catalog.colour") / "names" / "iscc_nbs.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(one for one in text.splitlines() if not one.startswith("#")))
    checked = [row for row in rows[::9] if row["L"] and float(row["L"]) > 12]
    assert len(checked) > 20
    for row in checked:
        found = lab_of_munsell(row["munsell"])
        assert ciede2000(found, [float(row[axis]) for axis in "Lab"]) < 0.05, row


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
