"""Patterns at another number of rows and columns."""

from __future__ import annotations

import pytest

from catalog.errors import PatternError
from catalog.pattern.pattern_file import pattern_text, shipped_files
from catalog.pattern.patterns import load_pattern, read_pattern


@pytest.mark.parametrize("name", sorted(shipped_files()))
def test_at_the_size_that_is_written_nothing_changes(name):
    written = load_pattern(name)
    same = read_pattern(pattern_text(name), name, (written.rows, written.columns))
    assert same == written


@pytest.mark.parametrize("rows", [1, 4, 9])
@pytest.mark.parametrize("columns", [1, 3, 8])
def test_posts_follow_the_crossings_of_the_sashing(rows, columns):
    """With sashing round the outside there is one more crossing than blocks, each way."""
    pattern = read_pattern(pattern_text("four-patch"), "four-patch", (rows, columns))
    counted = {need.name: need.count for need in pattern.needs}
    assert counted["cornerstone"] == (rows + 1) * (columns + 1)
    assert counted["patch"] == 2 * rows * columns


def test_what_is_counted_in_all_grows_with_the_blocks_in_whole_sets():
    text = pattern_text("example").replace("in_all = 6", "in_all = 6\nmatch = 2")
    grown = {n.name: n.count for n in read_pattern(text, "x", (5, 5)).needs}
    assert grown["middle"] == 14  # 6 for 12 blocks are 12.5 for 25, in sets of two


@pytest.mark.parametrize("size", [(1, 1), (1, 2), (2, 2), (4, 5), (5, 5), (7, 3), (20, 20)])
def test_quotas_keep_their_share_as_nearly_as_whole_sets_can(size):
    blocks = size[0] * size[1]
    for name, each in (("hourglass", 4), ("example", 5)):
        pattern = read_pattern(pattern_text(name), name, size)
        feature = [n for n in pattern.needs if n.name.split(",")[0] in {"hourglass", "blade"}]
        assert sum(need.count for need in feature) == 2 * blocks
        assert len(feature) <= each
    hourglass = read_pattern(pattern_text("hourglass"), "hourglass", size)
    dark = sum(need.count for need in hourglass.needs if need.name == "hourglass, dark")
    assert abs(dark / 2 - blocks * 2 / 3) <= 0.5


def test_a_pattern_without_rows_keeps_its_blocks():
    feature = '[[feature]]\nsize = "5"\nper_block = 1\n'
    text = f'title = "x"\ndescription = "y"\n[layout]\nblocks = 4\n{feature}'
    assert read_pattern(text, "x", (3, 3)).blocks == 4


def test_what_is_no_number_is_left_to_the_reader():
    text = pattern_text("pinwheel").replace("rows = 5", 'rows = "five"')
    assert read_pattern(text, "x", (3, 3)).blocks == 9
    with pytest.raises(PatternError, match="whole number"):
        read_pattern(text, "x")


def test_a_pattern_of_another_size_is_the_same_text_read_anew():
    pattern = load_pattern("pinwheel")
    other = pattern.of_size(2, 3)
    assert (other.name, other.rows, other.columns, other.blocks) == ("pinwheel", 2, 3, 6)
    assert other == read_pattern(pattern.text, "pinwheel", (2, 3))
