"""What is wrong with a pattern's data is told at its field, with the nearest that works."""

import copy
from fractions import Fraction

import pytest

from catalog.errors import PatternError
from catalog.pattern.data.field_edits import edited
from catalog.pattern.data.made_numbers import quilt_numbers
from catalog.pattern.data.pattern_data import data_of, pattern_of, text_of
from catalog.pattern.data.pattern_messages import check_pattern
from catalog.pattern.data.rescaling import rescaled
from catalog.pattern.data.settled_pieces import settled
from catalog.pattern.data.squares_in_hand import fit_messages
from catalog.pattern.pattern_file import pattern_text, shipped_files
from catalog.pattern.patterns import read_pattern

EXAMPLE = data_of(pattern_text("example"), "example")
SAMPLER = data_of(pattern_text("four-patch"), "four-patch")


def cuts_of(quilt):
    """What is cut, by piece."""
    return {one.name: (one.cut, one.count, one.each) for one in quilt_numbers(quilt).pieces}


def changed(data, *changes):
    made = copy.deepcopy(data)
    for place, value in changes:
        here = made
        for key in place[:-1]:
            here = here.setdefault(key, {}) if isinstance(key, str) else here[key]
        here[place[-1]] = value
    return made


@pytest.mark.parametrize("name", shipped_files())
def test_a_shipped_pattern_as_data_and_back_is_the_same_pattern(name):
    text = pattern_text(name)
    data = data_of(text, name)
    written = text_of(data)
    assert data_of(written, name) == data
    one, other = read_pattern(text, name), read_pattern(written, name)
    assert (one.needs, one.quilt, one.title) == (other.needs, other.quilt, other.title)
    assert check_pattern(data).messages == ()
    redrawn = pattern_of(settled(data), name)
    assert cuts_of(redrawn.quilt) == cuts_of(one.quilt)


WRONG = [
    (("feature", 0, "size"), "4 1/2", ("feature", 0, "size"), "4 7/8"),
    (("feature", 0, "per_block"), 4, ("feature", 0, "per_block"), 2),
    (("feature", 1, "in_all"), 0, ("feature", 1, "in_all"), 1),
    (("layout", "turn_rows"), 80, ("layout", "turn_rows"), 90),
    (("layout", "finished_block"), "8 x 12", ("layout", "finished_block"), "8"),
    (("layout", "set"), "on pont", ("layout", "set"), "on point"),
    (("sashing", "width"), "1 1/4", ("sashing", "width"), None),
    (("border", 0, "width"), "90", ("border", 0, "width"), "60"),
    (("border", 1, "corners"), "mitred", ("border", 1, "corners"), "posts"),
    (("border", 0, "spacer"), "night", ("border", 0, "spacer"), None),
    (("block", "unit", 0, "trim"), "4 1/4", ("block", "unit", 0, "trim"), "4 1/2"),
    (("block", "unit", 0, "at_a_time"), 3, ("block", "unit", 0, "at_a_time"), None),
    (("block", "unit", 1, "wide"), 2, ("block", "unit", 1, "wide"), 1),
    (("binding", "edge"), "scalloped", ("binding", "edge"), None),
    (("feature", 0, "quota", 0, "blocks"), 13, ("feature", 0, "quota", 0, "blocks"), 12),
    (("colour",), "blue", ("colour",), None),
]


@pytest.mark.parametrize(
    ("place", "value", "told", "nearest"), WRONG, ids=lambda one: str(one)[:40]
)
def test_a_wrong_field_is_named_and_its_nearest_is_right(place, value, told, nearest):
    data = changed(EXAMPLE, (place, value))
    checked = check_pattern(data)
    first = checked.messages[0]
    assert first.place == told
    assert first.says.endswith(".")
    assert "line" not in first.says
    assert first.mend is not None
    if nearest is not None or told[0] in {"border", "block", "binding"}:
        assert {one.place: one.value for one in first.mend.edits}.get(told) == nearest
    mended = edited(data, first.mend.edits)
    assert first.says not in [one.says for one in check_pattern(mended).messages]
    assert checked.pattern is not None
    assert not checked.sound


def test_all_that_is_wrong_is_told_at_once_and_mended_leaves_a_pattern():
    data = changed(EXAMPLE, *((place, value) for place, value, _, _ in WRONG[:5] + WRONG[7:9]))
    checked = check_pattern(data)
    assert {one.place[0] for one in checked.messages} == {"feature", "layout", "border"}
    assert len(checked.messages) >= 6
    pattern_of(checked.data, "mended")


def test_what_nothing_near_would_mend_is_told_with_its_cure():
    checked = check_pattern(changed(EXAMPLE, (("block", "unit"), [])))
    assert checked.pattern is None
    assert checked.messages[-1].mend is None
    assert "add [[block.unit]]" in checked.messages[-1].says


def test_squares_too_small_and_borders_that_do_not_come_out_are_said():
    pattern = pattern_of(SAMPLER, "four-patch")
    small = list(fit_messages(SAMPLER, pattern.quilt, Fraction(4), None))
    assert [(one.weight, one.piece) for one in small] == [("mind", "patch")]
    assert "4 1/2 in" in small[0].says
    made = edited(SAMPLER, small[0].mend.edits)
    quilt = pattern_of(made, "made over").quilt
    assert quilt.kind("patch").size <= 4
    assert list(fit_messages(made, quilt, Fraction(4), None)) == []
    bordered = changed(
        SAMPLER, (("border",), [{"width": "2 3/4", "pieced": "half-square-triangle"}])
    )
    quilt = pattern_of(bordered, "bordered").quilt
    (message,) = fit_messages(bordered, quilt, None, None)
    assert message.place == ("border", 0, "width")
    made = edited(bordered, message.mend.edits)
    assert list(fit_messages(made, pattern_of(made, "even").quilt, None, None)) == []


def test_a_block_made_larger_takes_all_that_follows_with_it():
    made = rescaled(SAMPLER, block=Fraction(6))
    assert [(row.what, row.old, row.new) for row in made.rows] == [
        ("finished block", "8", "6"),
        ("cut: patch", "4 1/2", "3 1/2"),
        ("cut: background", "4 1/2", "3 1/2"),
    ]
    wider = rescaled(SAMPLER, seam=Fraction(3, 8), block=Fraction(12), strips=True)
    told = {row.what: row.new for row in wider.rows}
    assert told["sashing"] == "1 1/2"
    assert told["cut: cornerstone"] == "2 1/4"
    assert told["cut: patch"] == "6 3/4"
    with pytest.raises(PatternError):
        rescaled(SAMPLER, block=Fraction(400))


def test_a_unit_left_over_is_said_as_it_is_drawn_and_made_plain():
    half = {"mark": "A", "unit": "half-square-triangle", "fabrics": ["moon", "ground"]}
    whole = [
        {"mark": "B", "unit": "square", "fabrics": ["patch"]},
        {"mark": "C", "unit": "square", "fabrics": ["patch 2"]},
        {"mark": "D", "unit": "square", "fabrics": ["background"]},
    ]
    odd = changed(
        SAMPLER,
        (("block",), {"grid": ["A B", "C D"], "unit": [half, *whole]}),
        (
            ("background",),
            [
                {"from": "yardage"},
                {"name": "ground", "from": "yardage"},
                {"name": "moon", "from": "bundle"},
            ],
        ),
    )
    checked = check_pattern(settled(odd))
    (message,) = checked.messages
    assert message.says == (
        "The block has one half square triangle, and they are made 2 at a time; "
        "lay 1 more, or 1 fewer."
    )
    assert message.place == ("block",)
    assert message.mend.says == "Make what is left over plain"
    assert {unit.unit for unit in checked.pattern.quilt.units} == {"square"}
