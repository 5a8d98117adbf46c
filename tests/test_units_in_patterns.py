"""Units of many parts in a pattern: named by groups, counted, cut, bought and drawn."""

from fractions import Fraction

import pytest

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.quilt_units import faces_of
from catalog.errors import PatternError
from catalog.pattern.patterns import load_pattern

HEAD = """
title = "Units"
description = "One unit to a block."
[layout]
rows = 3
columns = 2
finished_block = "{block}"
"""
PIECE = '[[{role}]]\nname = "{name}"\nsize = "{size}"\nper_block = {each}\n{more}'
BLOCK = """[block]
grid = {grid}
[[block.unit]]
mark = "A"
unit = "{unit}"
fabrics = {fabrics}
{more}"""
YARDAGE = 'from = "yardage"\n'


@pytest.fixture
def load(tmp_path):
    """Read a pattern of one unit: its pieces by name with size and number in each block."""

    def read(unit, block, pieces, fabrics, grid='["A"]', more=""):
        text = HEAD.format(block=block)
        for number, (name, size, each) in enumerate(pieces):
            role, source = ("feature", "") if number == 0 else ("background", YARDAGE)
            text += PIECE.format(role=role, name=name, size=size, each=each, more=source)
        listed = str(fabrics).replace("'", '"')
        text += BLOCK.format(grid=grid, unit=unit, fabrics=listed, more=more)
        path = tmp_path / "my.toml"
        path.write_text(text, encoding="utf-8")
        return load_pattern(str(path)).quilt

    return read


LOGS = [("hearth", "3", 1), ("light", "9 1/4", 6), ("dark", "10 1/2", 6)]


def cut_of(quilt, name, **asked):
    adapted = adapt_pattern(quilt, **asked)
    return [(float(c.width), float(c.length), c.count) for c in adapted.cuts if c.cloth == name]


def test_a_log_cabin_names_three_fabrics_and_buys_every_log(load):
    quilt = load("log cabin 3 2", "10", LOGS, ["hearth 1", "light", "dark"])
    light, dark = cut_of(quilt, "light"), cut_of(quilt, "dark")
    # The published list of lengths (units.csv, LC001 to LC010), six blocks.
    lengths = (3.0, 4.25, 5.5, 6.75, 8.0, 9.25)
    assert sorted(light) == [(length, 1.75, 6) for length in lengths]
    assert sorted(length for length, _, _ in dark) == [4.25, 5.5, 6.75, 8.0, 9.25, 10.5]
    shown = {name: sum(_area(face) for *_, face in _faces(quilt, name)) for name, *_ in LOGS}
    assert sum(shown.values()) == 1
    assert shown["hearth"] == Fraction(1, 16)
    assert shown["light"] < shown["dark"]


def _faces(quilt, name):
    patches = {patch for _, patch in quilt.block.patches() if patch.kind == name}
    return [face for patch in patches for face in faces_of(quilt.block, patch)]


def _area(face):
    (left, top), (right, bottom) = face[0], face[2]
    return (right - left) * (bottom - top)


def test_a_fabric_for_each_log_may_be_named_too(load):
    quilt = load("courthouse-steps-1-2", "10", [("hearth", "5 1/2", 1), ("a", "5 1/2", 2),
                 ("b", "10 1/2", 2)], ["hearth 1", "a", "a", "b", "b"])  # fmt: skip
    assert [patch.kind for _, patch in quilt.block.patches()] == ["hearth", "a", "a", "b", "b"]
    with pytest.raises(PatternError, match="has 5 parts, or 3 groups of them, not 2"):
        load("courthouse-steps-1-2", "10", LOGS, ["hearth 1", "light"])
    with pytest.raises(PatternError, match="has 1 to 8 rounds, not 9; write log-cabin-8"):
        load("log-cabin-9", "10", LOGS, ["hearth 1", "light", "dark"])


def test_rails_of_a_print_with_a_direction_stand_as_their_block_hangs(load):
    pieces = [("one", "6 1/2", 1), ("two", "6 1/2", 1), ("three", "6 1/2", 1)]
    quilt = load("rails", "6", pieces, ["one 1", "two", "three"])
    assert cut_of(quilt, "two") == [(6.5, 2.5, 6)]
    assert cut_of(quilt, "two", seam=Fraction(3, 16)) == [(6.5, 2.5, 6)]
