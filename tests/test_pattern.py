import json
import math
import os
import re
import sys
import tomllib
from dataclasses import replace
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.bundle.pieces import pieces_from
from catalog.errors import PatternError
from catalog.models import Need, Square, Swatch
from catalog.pattern.pattern_needs import FIELDS
from catalog.pattern.patterns import load_pattern, shipped_patterns
from catalog.pattern.toml_depth import MAX_DEPTH, too_deep

GOLDEN = Path(__file__).parent / "golden" / "pattern_refusals.txt"
BUNDLE = 42
"""5 in squares in a usual pack: "Precuts explained",
https://chickenfeedquilts.blogspot.com/2020/07/precuts-explained.html"""

PLAIN = """\
title = "Test"
description = "A test."

[layout]
blocks = 6

[[feature]]
size = "4 7/8"
per_block = 2
match = 2
"""
GROUND = PLAIN + '\n[[background]]\nsize = "5"\nper_block = 1\nfrom = "yardage"\n'


@pytest.fixture
def load(tmp_path):
    def write_and_load(text):
        path = tmp_path / "my.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return load_pattern(path)

    return write_and_load


def refusal(load, text):
    with pytest.raises(PatternError) as caught:
        load(text)
    message = str(caught.value)
    assert message.isprintable()
    assert message.endswith(".")
    return re.sub(r"^\S*my\.toml", "my.toml", message)


# --- the shipped patterns -------------------------------------------------------------------------


def test_shipped_patterns_are_listed_with_the_example_last():
    listed = shipped_patterns()
    names = [name for name, _, _ in listed]
    assert names == [*sorted(set(names) - {"example"}), "example"]
    assert len(names) == 13
    for _, title, description in listed:
        assert title
        assert len(description) <= 100


def squares_from_bundle(pattern):
    return sum(need.count for need in pattern.needs if need.source == "bundle")


@pytest.mark.parametrize("name", ["pinwheel", "hourglass", "four-patch"])
def test_a_usual_bundle_can_fill_it(name):
    pattern = load_pattern(name)
    assert pattern.blocks == pattern.rows * pattern.columns
    assert 0.5 * BUNDLE < squares_from_bundle(pattern) <= BUNDLE
    assert all(need.size <= 5 for need in pattern.needs)


def trimmed(exact):
    """Down to the next half inch, as sources trim; a unit can be trimmed but not let out."""
    return Fraction(math.floor(exact * 2), 2)


def test_pinwheel_arithmetic():
    pattern = load_pattern("pinwheel")
    wheel, ground = pattern.needs
    assert (wheel.count, wheel.match, wheel.role) == (40, 2, "feature")
    assert (ground.count, ground.source, ground.role) == (40, "yardage", "background")
    assert wheel.size == ground.size == 5
    # A pair gives two: "UKQU - size to cut triangles",
    # https://ukqu.co.uk/size-i-cut-triangles/; a pinwheel is two by two of them.
    assert wheel.count * 2 == pattern.blocks * 4
    # 5 in squares give 4 1/2 in units, "so 4 inch finished": "Half-square triangles (from 5 inch
    # squares)", http://nickelquilts.wordpress.com/2013/05/07/half-square-triangles/. Exact: the
    # seams take a quarter of root two from the square (geometry).
    unit = trimmed(5 - math.sqrt(2) / 4)
    assert unit == Fraction(9, 2)
    assert pattern.finished_block == 2 * (unit - Fraction(1, 2))
    # The cut is at least finished + 7/8, by the same page and others.
    assert wheel.size >= unit - Fraction(1, 2) + Fraction(7, 8)


def test_hourglass_arithmetic():
    pattern = load_pattern("hourglass")
    needs = pattern.needs
    features = [need for need in needs if need.role == "feature"]
    grounds = [need for need in needs if need.role == "background"]
    assert {(n.value, n.count, n.match) for n in features} == {("dark", 12, 2), ("medium", 6, 2)}
    assert {(n.value, n.count, n.match) for n in grounds} == {("medium", 6, 1), ("light", 12, 1)}
    assert {need.source for need in needs} == {"bundle"}
    assert {need.size for need in needs} == {5}
    # As many units as squares: "Quilting forum: week 2, quarter-square triangles",
    # https://www.quiltingboard.com/8425110-post33.html (24 + 12 + 12 squares give 48 units).
    assert squares_from_bundle(pattern) == pattern.blocks * 4
    # 5 in squares are trimmed to 4 for 3 1/2 finished: "How-to page: quarter square triangles",
    # http://www.opengatequilts.com/howtovideo.html. Exact: half of root two less (geometry).
    unit = trimmed(5 - math.sqrt(2) / 2)
    assert unit == 4
    assert pattern.finished_block == 2 * (unit - Fraction(1, 2))
    # The cut is at least finished + 1 1/4: "Cutting quarter square triangles",
    # http://quiltville.blogspot.com/2005/06/cutting-quarter-square-triangles.html?m=1
    assert unit - Fraction(1, 2) + Fraction(5, 4) <= 5
    # Each dark square finds a lighter one and each medium square a light one.
    assert sum(n.count for n in features) == sum(n.count for n in grounds)


def test_four_patch_arithmetic():
    pattern = load_pattern("four-patch")
    patch, ground, post = pattern.needs
    assert (patch.count, patch.match, ground.count, ground.source) == (24, 2, 24, "yardage")
    assert patch.size == ground.size == Fraction(9, 2)
    # A row of n squares cut c measures n (c - 1/2) + 1/2: 3 1/2 gives 6 1/2, "Quilting forum post
    # on four-patch block sizes", https://www.quiltingboard.com/1061906-post41.html
    as_sewn = 2 * (patch.size - Fraction(1, 2)) + Fraction(1, 2)
    assert 2 * (Fraction(7, 2) - Fraction(1, 2)) + Fraction(1, 2) == Fraction(13, 2)
    assert pattern.finished_block == as_sewn - Fraction(1, 2)
    # A frame round n by m blocks has (n + 1)(m + 1) cornerstones (geometry).
    assert post.count == (pattern.rows + 1) * (pattern.columns + 1)
    assert (post.role, post.source) == ("small", "left over")
    square = Square(((0, 0), (9, 0), (9, 9), (0, 9)), None, None, 5.0, 5.0, 1.0)
    one = Swatch("A", "a.jpg", square, (50.0, 0.0, 0.0), "plain", 0.0)
    assert (BUNDLE - patch.count) * pieces_from(one, post) >= post.count


def test_the_example_explains_every_field():
    text = files("catalog.pattern").joinpath("shipped", "example.toml").read_text(encoding="utf-8")
    explained = set(
        re.findall(r"\w+", " ".join(re.findall(r"^# ([a-z_, ]+):", text, re.MULTILINE)))
    )
    headings = set(re.findall(r"^# (?:\[\[?)(?:\w+\.)?(\w+)\]\]?:", text, re.MULTILINE))
    fields = {field for table in FIELDS.values() for field in table}
    assert explained | headings == fields
    shown = set(re.findall(r"^(?:# )?(\w+) = ", text, re.MULTILINE))
    assert shown | headings == fields


@pytest.mark.parametrize(
    "line", ["blocks = 12", "in_all = 6", "share = ", "blocks = 4", "sets = 2", "rows = 4"]
)
def test_the_example_shows_each_way_to_count(line):
    text = files("catalog.pattern").joinpath("shipped", "example.toml").read_text(encoding="utf-8")
    assert line in text


def test_the_examples_needs():
    by_name = {need.name: need for need in load_pattern("example").needs}
    assert by_name["blade, blue"].count == 4 * 2
    assert by_name["blade, blue"].family == "blue"
    assert by_name["blade, light"].count == 2 * 2
    assert by_name["blade, dark"].count == 6 * 2
    assert by_name["middle"].value == "medium"
    assert by_name["cornerstone"].piece == "cornerstone"


# --- reading --------------------------------------------------------------------------------------


def test_a_plain_pattern(load):
    pattern = load(GROUND)
    assert (pattern.title, pattern.blocks, pattern.rows) == ("Test", 6, None)
    assert pattern.needs == (
        Need("feature", "feature", "square", Fraction(39, 8), 12, 2),
        Need("background", "background", "square", Fraction(5), 6, source="yardage"),
    )


@pytest.mark.parametrize("size", ['"4 7/8"', '"4⅞ in"', "4.875", '"39/8"', '"12,3825 cm"'])
def test_sizes_in_every_way(load, size):
    assert load(PLAIN.replace('"4 7/8"', size)).needs[0].size == Fraction(39, 8)


def test_byte_order_mark_and_line_ends_of_windows(load):
    text = GROUND.replace("\n", "\r\n").encode("utf-8-sig")
    assert load(text).needs == load(GROUND).needs
    assert "line 8," in refusal(load, text.replace(b"4 7/8", b"4 7/0"))


def test_a_quota_takes_its_part_and_leaves_the_rest(load):
    text = PLAIN + '[[feature.quota]]\nshare = "1/3"\nvalue = "dark"\nfamily = "blue"\n'
    quota, rest = load(text).needs
    assert (quota.name, quota.count, quota.value, quota.family) == (
        "feature, dark blue", 4, "dark", "blue",
    )  # fmt: skip
    assert rest == Need("feature", "feature", "square", Fraction(39, 8), 8, 2)


def test_a_quota_inherits_what_holds_for_the_whole_piece(load):
    text = PLAIN + 'family = "blue"\n[[feature.quota]]\nblocks = 6\nvalue = "dark"\n'
    (quota,) = load(text).needs
    assert (quota.value, quota.family, quota.count) == ("dark", "blue", 12)


def test_shipped_names_however_they_are_written():
    whole = load_pattern("four-patch")
    assert load_pattern("Four patch").needs == whole.needs
    assert replace(load_pattern("FOUR-PATCH"), name="four-patch") == whole


# --- refusals -------------------------------------------------------------------------------------


WRONG_FIELDS = [
    ('"4 7/8"', '"4 7/0"', "line 8, field feature.size", "divides by zero"),
    ('"4 7/8"', '"61"', "line 8, field feature.size", "1/2 to 60 in"),
    ('"4 7/8"', "0.25", "line 8, field feature.size", "1/2 to 60 in"),
    ('"4 7/8"', "true", "line 8, field feature.size", "is no length"),
    ('"4 7/8"', "[4]", "line 8, field feature.size", "is no length"),
    ('"4 7/8"', "nan", "line 8, field feature.size", "nan is no length"),
    ("blocks = 6", "blocks = 0", "line 5, field layout.blocks", "1 to 10,000"),
    ("blocks = 6", "blocks = 10001", "line 5, field layout.blocks", "1 to 10,000"),
    ("blocks = 6", "blocks = 1" + "0" * 4000, "line 5, field layout.blocks", "a huge number"),
    ("blocks = 6", "blocks = true", "line 5, field layout.blocks", "no whole number"),
    ("blocks = 6", "blocks = 6.0", "line 5, field layout.blocks", "no whole number"),
    ("blocks = 6", 'blocks = "six"', "line 5, field layout.blocks", "no whole number"),
    ("blocks = 6", "", "line 4, field layout.blocks", "give blocks or rows"),
    ("blocks = 6", "blocks = 6\nrows = 2", "line 6, field layout.rows", "beside blocks"),
    ("blocks = 6", "blocks = 6\ncolumns = 2", "line 6, field layout.columns", "beside blocks"),
    ("blocks = 6", "rows = 2", "line 4, field layout.columns", "missing"),
    ("blocks = 6", "rows = 500\ncolumns = 500", "line 6, field layout.columns", "250,000"),
    ("[layout]\nblocks = 6", "layout = 6", "line 4, field layout", "no table"),
    ("[layout]\nblocks = 6", "", "line 1, field layout", "missing"),
    ("[[feature]]", "[feature]", "line 7, field feature", "[[feature]]"),
    ("[[feature]]", "[[features]]", "line 7, field features", 'write "feature"'),
    ("[[feature]]", "[[zigzag]]", "line 7, field zigzag", "use one of title"),
    ("[[feature]]", "[[small]]", "line 10, field small.match", "no such field"),
    ("match = 2", "match = 5", "line 10, field feature.match", "1 to 4"),
    ("match = 2", "match = 2\nquotas = 1", "line 11, field feature.quotas", 'write "quota"'),
    ("match = 2", "quota = 1", "line 10, field feature.quota", "[[feature.quota]]"),
    ("match = 2", 'value = "drak"', "line 10, field feature.value", 'write "dark"'),
    ("match = 2", 'origin = "bundle"', "line 10, field feature.origin", "no such field"),
    ("match = 2", "family = 3", "line 10, field feature.family", "is no text"),
    ("match = 2", 'family = "\\u001b[31m"', "line 10, field feature.family", "not one line"),
    ("match = 2", "in_all = 2", "line 10, field feature.in_all", "only one"),
    ("match = 2", "match = 2\n'odd key' = 1", "line 11, field feature.odd key", "no such"),
    ("per_block = 2", "", "line 7, field feature.per_block", "per_block or in_all"),
    ("per_block = 2", "in_all = 7", "line 10, field feature.match", "7 squares make no whole"),
    ("per_block = 2", "per_block = 1001", "line 9, field feature.per_block", "1 to 1,000"),
    ('"A test."', '"""A\ntest."""', "line 2, field description", "not one line"),
    ('"Test"', '""', "line 1, field title", "not one line"),
    ('title = "Test"', "", "line 1, field title", "missing"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "where", "why"), WRONG_FIELDS)
def test_wrong_fields_are_refused_with_line_and_field(load, old, new, where, why):
    assert old in PLAIN
    message = refusal(load, PLAIN.replace(old, new))
    assert message.startswith(f"my.toml, {where}: ")
    assert why in message


WRONG_QUOTAS = [
    ('sets = 2\nfamily = "b"\nshare = "1/2"', "line 14, field feature.quota.share", "only one"),
    ('value = "dark"', "line 11, field feature.quota.blocks", "blocks or sets or share"),
    ("sets = 2", "line 11, field feature.quota.family", "family, value or both"),
    ('sets = 7\nfamily = "b"', "line 12, field feature.quota.sets", "1 to 6"),
    ('blocks = 7\nfamily = "b"', "line 12, field feature.quota.blocks", "1 to 6"),
    ('share = "1/4"\nfamily = "b"', "line 12, field feature.quota.share", "sets = 1 or 2"),
    ('share = "3/2"\nfamily = "b"', "line 12, field feature.quota.share", '"1/2"'),
    ('share = "half"\nfamily = "b"', "line 12, field feature.quota.share", '"1/2"'),
    ('share = "0/2"\nfamily = "b"', "line 12, field feature.quota.share", '"1/2"'),
    (
        'sets = 4\nfamily = "b"\n[[feature.quota]]\nsets = 3\nfamily = "c"',
        "line 15, field feature.quota.sets", "leave at most 2",
    ),
    (
        'sets = 4\nfamily = "b"\n[[feature.quota]]\nsets = 2\nfamily = "b"',
        "line 7, field feature.name", "is there already",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("added", "where", "why"), WRONG_QUOTAS)
def test_wrong_quotas_are_refused(load, added, where, why):
    message = refusal(load, f"{PLAIN}[[feature.quota]]\n{added}\n")
    assert message.startswith(f"my.toml, {where}: ")
    assert why in message


def test_more_refusals_of_quotas(load):
    text = PLAIN.replace("per_block = 2", "in_all = 4")
    text += '[[feature.quota]]\nblocks = 2\nvalue = "dark"'
    assert "line 12, field feature.quota.blocks: the piece is counted in all" in refusal(load, text)
    text = PLAIN.replace("per_block = 2", "per_block = 1")
    text += '[[feature.quota]]\nblocks = 3\nvalue = "dark"'
    assert "line 12, field feature.quota.blocks: 3 squares make no whole" in refusal(load, text)
    text = PLAIN + 'value = "light"\n[[feature.quota]]\nsets = 2\nvalue = "dark"'
    assert "line 14, field feature.quota.value: the whole piece" in refusal(load, text)


def test_a_piece_says_what_its_squares_share(load):
    assert [need.match_by for need in load(PLAIN).needs] == [None]

    quota = '[[feature.quota]]\nsets = 2\nvalue = "dark"\n'
    for by in ("colour", "value", "hue"):
        needs = load(f'{PLAIN}match_by = "{by}"\n{quota}').needs
        assert [need.match_by for need in needs] == [by, by]
    message = refusal(load, f'{PLAIN}match_by = "tone"\n')
    assert "field feature.match_by" in message
    assert 'write "colour" or "value" or "hue"' in message
    alone = refusal(load, PLAIN.replace("match = 2", "match = 1") + 'match_by = "hue"')
    assert "field feature.match_by: a square by itself matches no other" in alone


def test_background_says_where_it_comes_from(load):
    message = refusal(load, GROUND.replace('from = "yardage"\n', ""))
    assert "line 12, field background.from: it is missing" in message
    message = refusal(load, GROUND.replace('"yardage"', '"yard"'))
    assert 'line 15, field background.from: "yard"' in message
    assert 'write "yardage"' in message


def test_two_pieces_of_one_name_are_refused(load):
    again = PLAIN + '\n[[feature]]\nsize = "5"\nper_block = 1\n'
    assert 'line 12, field feature.name: "feature" is there already' in refusal(load, again)


def every_refusal(load):
    """The sentence for each wrong pattern of this file, its cure with it."""
    changed = [(old, new) for old, new, *_ in WRONG_FIELDS + NO_TOML]
    for told in (refusal(load, PLAIN.replace(old, new)) for old, new in changed):
        yield re.sub(r"as TOML \([^;]*\);", "as TOML (...);", told)  # Python's own words change
    yield from (refusal(load, f"{PLAIN}[[feature.quota]]\n{added}\n") for added, *_ in WRONG_QUOTAS)
    yield refusal(load, f"{'a.' * 20}a = 1")
    yield refusal(load, GROUND.replace('from = "yardage"\n', ""))
    yield refusal(load, PLAIN.replace("blocks = 6", 'blocks = 6\nset = "straight"'))
    yield refusal(load, PLAIN.replace("[layout]", "[sashing]\n[layout]"))
    yield refusal(load, PLAIN.replace("blocks = 6", "blocks = 10000").replace("= 2", "= 1000", 1))


def test_golden_refusals(load):
    assert "\n".join(every_refusal(load)) == GOLDEN.read_text(encoding="utf-8")


def test_lines_are_found_in_any_way_to_write_toml(load):
    text = """\
title = '''
Test'''  # [[feature]]
description = "size = 3"
layout.blocks = 2
feature = [ { size = "5", per_block = 0 } ]
"""
    assert "line 5, field feature.per_block" in refusal(load, text)
    text = text.replace("blocks = 2", "blocks = 0")
    assert "line 4, field layout.blocks" in refusal(load, text)


NO_TOML = [
    ("match = 2", "match = ", "line 10, field match"),
    ("match = 2", "match 2", "line 10, field match"),
    ("match = 2", "match = 2\nmatch = 2", "line 11, field match"),
    ("blocks = 6", "blocks = 06", "line 5, field blocks"),
    ('"Test"', '"Test', "line 1, field title"),
    ("[layout]", "[layout", "line 4"),
    ("match = 2", 'family = """blue', "line 11"),
]


@pytest.mark.parametrize(("old", "new", "where"), NO_TOML)
def test_what_is_no_toml_is_refused_with_its_line(load, old, new, where):
    message = refusal(load, PLAIN.replace(old, new))
    assert message.startswith(f"my.toml, {where}")
    assert "TOML" in message


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "is empty"),
        (b" \r\n\t\n", "is empty"),
        (b"title = 1\n\n\xff", "line 3: it is not text in UTF-8"),
        (PLAIN.encode("utf-16"), "not text in UTF-8"),
        (b"#" * 1_000_001, "larger than a pattern can be"),
        (b"\x00\x01", "TOML"),
        (b"a = " + b"[" * 100_000, "my.toml"),
        (b"a = " + b"9" * 5_000, "my.toml"),
        (b"a" + b" " * 200_000, "TOML"),
    ],
    ids=["empty", "blank", "latin", "utf-16", "huge", "binary", "deep", "long number", "spaces"],
)
def test_broken_files_are_refused_in_one_sentence(load, data, why):
    assert why in refusal(load, data)


def keys(number):
    return ".".join("a" * number)


@pytest.mark.parametrize(
    "text",
    [
        keys(40_000) + "=1",
        " . ".join(['"a"'] * 20_000) + " = 1",
        f"[{keys(40_000)}]",
        f"[[{keys(40_000)}]]",
        f"a = {{{keys(40_000)} = 1}}",
        "a = " + "[" * 80_000,
        "a = " + "{a = " * 20_000,
        'a = [""".""""' + ", [" * 20_000,
        "a = ['''.'''''" + ", [" * 20_000,
        "a = 1 # '''\n" + keys(17) + " = 1",
    ],
)
def test_what_nests_too_deep_is_refused_before_it_is_parsed(load, text, monkeypatch):
    def parsed(_):
        pytest.fail("it was parsed")

    monkeypatch.setattr("tomllib.loads", parsed)
    line = text.count("\n") + 1
    assert f"my.toml, line {line}: it nests deeper than 16" in refusal(load, text)


WORDS = ("[[[", "{", '"', "'", '\\"', "a.b.", ".", "#", "]]", "}", "\\\\", "=", " ")


@given(
    st.integers(1, 30),
    st.booleans(),
    st.lists(st.sampled_from(WORDS)).map("".join),
    st.sampled_from(["basic", "literal", "long", "long literal", "comment"]),
)
def test_depth_is_told_whatever_stands_in_texts(depth, tables, inside, kind):
    quoted = {
        "basic": json.dumps(inside),
        "literal": "'" + inside.replace("'", "") + "'",
        "long": f'"""{json.dumps(inside)[1:-1]}\n"."""',
        "long literal": "'''" + inside.replace("'", "") + "\n'.'''",
        "comment": "1",
    }[kind]
    value = f"[{quoted}, 4.5, {{b.c.d.e = 1}}]"
    for _ in range(depth):
        value = f"{{a = {value}}}" if tables else f"[{value}]"
    text = f"a = {value}" + (f" # {inside}" if kind == "comment" else "")
    tomllib.loads(text)  # what is drawn is TOML
    assert (too_deep(text) is not None) == (depth + 2 > MAX_DEPTH)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such pipes")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(PatternError, match=r"pipe.toml is no file"):
        load_pattern(tmp_path / "pipe.toml")


def test_a_folder_is_refused(tmp_path):
    with pytest.raises(PatternError, match="is a folder"):
        load_pattern(tmp_path)


@pytest.mark.parametrize("name", ["pinwhel", "nowhere/at/all.toml", "", "a\x00b", "x" * 5000])
def test_what_is_not_there_is_refused_with_what_is(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(PatternError) as caught:
        load_pattern(name)
    if name == "pinwhel":
        assert "write pinwheel or another of the shipped patterns: bag-panel" in str(caught.value)


@given(st.text(max_size=60), st.integers(0, len(GROUND)), st.integers(0, 40))
def test_any_damage_is_read_or_refused(tmp_path_factory, text, start, length):
    path = tmp_path_factory.getbasetemp() / "damaged.toml"
    path.write_text(GROUND[:start] + text + GROUND[start + length :], "utf-8", "replace")
    try:
        pattern = load_pattern(path)
    except PatternError as error:
        said = str(error)
    else:
        said = f"{path}: {sum(need.count for need in pattern.needs)} pieces"
    assert "damaged.toml" in said
