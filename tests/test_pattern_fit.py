"""Pieces that fit the block, and units that can be sewn as the pattern says."""

import pytest

from catalog.errors import PatternError
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.patterns import read_pattern

GEESE = """\
title = "Geese"
description = "Geese of one block."

[layout]
rows = 2
columns = 2
finished_block = "8"

[[feature]]
name = "goose"
size = "9 1/4"
per_block = 1

[[background]]
name = "sky"
size = "4 7/8"
per_block = 4
from = "yardage"

[[background]]
name = "middle"
size = "4 1/2"
per_block = 8
from = "yardage"

[block]
grid = ["A . B B", "A . B B", "A . B B", "A . B B"]

[[block.unit]]
mark = "A"
unit = "flying-geese"
at_a_time = 4
wide = 2
fabrics = ["goose", "sky"]

[[block.unit]]
mark = "B"
unit = "square"
fabrics = ["middle"]
"""


def geese(**changes):
    """Four geese of 8 x 4 in beside eight squares, in a block of 16 in."""
    text = GEESE.replace('finished_block = "8"', 'finished_block = "16"')
    for old, new in changes.values():
        assert old in text
        text = text.replace(old, new)
    return read_pattern(text, "geese")


@pytest.mark.parametrize(
    ("name", "old", "new", "piece"),
    [
        # f + 7/8 for half-square triangles (rows HST001 and on of trade_checks/units.csv).
        ("pinwheel", '"8"', '"10"', "wheel cut 5 7/8 in, and its size says 5 in"),
        # Patches aren't trimmed, so that larger squares don't fit either.
        ("four-patch", '"8"', '"6"', "patch cut 3 1/2 in, and its size says 4 1/2 in"),
        ("four-patch", '"8"', '"9"', "patch cut 5 in, and its size says 4 1/2 in"),
        ("four-patch", 'width = "1"', 'width = "2"', "cut 2 1/2 in, and the size of cornerstone"),
    ],
)
def test_a_piece_that_no_longer_fits_is_named(name, old, new, piece):
    text = pattern_text(name)
    field = f"finished_block = {old}" if "width" not in old else old
    changed = f"finished_block = {new}" if "width" not in new else new
    assert field in text
    # What a unit says of its trim size is refused by its own sentence.
    text = "\n".join(line for line in text.splitlines() if not line.startswith("trim"))
    with pytest.raises(PatternError, match=piece):
        read_pattern(text.replace(field, changed), name)


def test_squares_that_are_trimmed_may_be_larger_than_need_be():
    text = pattern_text("pinwheel").replace('finished_block = "8"', 'finished_block = "7"')
    text = "\n".join(line for line in text.splitlines() if not line.startswith("trim"))
    assert read_pattern(text, "pinwheel").quilt.finished_block == 7


def test_geese_four_at_a_time_have_their_sky_from_one_cloth():
    assert geese().quilt
    marks = "CDEF"
    units = "".join(
        f'[[block.unit]]\nmark = "{mark}"\nunit = "flying-geese"\nat_a_time = 4\nwide = 2\n'
        f'fabrics = ["goose", "sky {which}"]\n\n'
        for which, mark in enumerate(marks, 1)
    )
    with pytest.raises(
        PatternError, match="sky, which is not all of one cloth, can't give both sides"
    ):
        geese(
            source=('per_block = 4\nfrom = "yardage"', 'per_block = 4\nfrom = "bundle"'),
            grid=(
                '["A . B B", "A . B B", "A . B B", "A . B B"]',
                str([f"{mark} . B B" for mark in marks]).replace("'", '"'),
            ),
            units=(GEESE[GEESE.index("[[block.unit]]") : GEESE.rindex("[[block.unit]]")], units),
        )


def test_units_of_the_same_squares_come_all_of_them():
    # Two of four geese: the other two of the large square would have no place.
    with pytest.raises(PatternError, match=r"4 at a time are all .* and the block has 2"):
        geese(
            grid=('A . B B", "A . B B"]', 'C . B B", "C . B B"]'),
            other=(
                '[[block.unit]]\nmark = "B"',
                '[[block.unit]]\nmark = "C"\nunit = "flying-geese"\nat_a_time = 4\nwide = 2\n'
                'fabrics = ["goose", "air"]\n\n[[block.unit]]\nmark = "B"',
            ),
            air=(
                'per_block = 4\nfrom = "yardage"',
                'per_block = 2\nfrom = "yardage"\n\n[[background]]\nname = "air"\n'
                'size = "4 7/8"\nper_block = 2\nfrom = "yardage"',
            ),
        )
