"""Lists of many end in how many more there are."""

import re

import pytest

from cli import wording


@pytest.mark.parametrize("number", [0, 1, 8, 9, 500])
def test_a_list_names_the_first_and_counts_the_others(number):
    names = [f"R1C{place}" for place in range(number)]
    told = wording.listed(names)
    shown = re.findall(r"R1C\d+", told)
    more = re.search(r" and (\d+) more$", told)
    assert shown == names[: len(shown)]
    assert len(shown) + (int(more[1]) if more else 0) == number
    assert len(told) < 80


def test_what_is_out_of_a_bundle_is_no_longer_than_some_lines(kept, squares):
    names = list(squares("both halves"))[:30]
    assert kept("square", "isnt", "both halves", *names).exit_code == 0
    (line,) = (
        line for line in kept("show", "both halves").stdout.splitlines() if "Out of the" in line
    )
    assert line.endswith(f" and {30 - wording.MAX_LISTED} more.")


def test_squares_that_are_not_there_are_counted_where_they_are_many(refused):
    refused("square", "isnt", "blues", *(f"R9C{n}" for n in range(1, 40)), says=" and 31 more")


def test_a_photo_that_is_not_there_is_told_with_those_that_are(refused):
    refused("photo", "drop", "both halves", "9", says="it has 1 (left.jpg), 2 (right.jpg)")
