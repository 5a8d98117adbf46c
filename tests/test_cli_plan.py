"""What ``count`` plans: files of the cutting table and of the wall."""

import csv
import json
import re
from collections import Counter
from pathlib import Path

import pytest

from catalog.pattern.pattern_file import pattern_text

pytestmark = pytest.mark.usefixtures("quickly_hung")

PLAN = {"cutting.csv", "buying.csv", "wall.csv", "wall.jpg", "cutting-plan.jpg"}


def rows(name, folder="calicount-out"):
    with (Path(folder) / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def names(folder="calicount-out"):
    return {path.name for path in Path(folder).iterdir()}


def test_a_pattern_gives_a_sewing_list_of_the_sets_that_count(calicount, small_photo):
    result = calicount("count", small_photo, "--pattern", "pinwheel")
    assert result.exit_code == 3, result.output
    assert names() >= PLAN
    blocks = rows("wall.csv")
    assert [row["place"] for row in blocks[:5]] == ["A1", "A2", "A3", "A4", "B1"]
    assert len(blocks) == 20
    sets = {row["set"]: row for row in rows("sets.csv")}
    hung = [row for row in blocks if row["set"]]
    (wheel,) = [row for row in rows("tally.csv") if row["need"] == "wheel"]
    assert len(hung) == int(wheel["on_hand"]) // 2
    for row in hung:
        assert row["darker"] == sets[row["set"]]["swatch_a"]
        assert row["lighter"] == sets[row["set"]]["swatch_b"]
    assert "more sets for 5 rows of 4" in result.stdout
    assert "wall.jpg" in result.stdout


def test_what_is_cut_and_bought_follows_seam_and_width(calicount, small_photo):
    words = ("count", small_photo, "--pattern", "pinwheel", "--square", "4 7/8")
    told = calicount(*words, "--seam", "5/16", "--width", "30", "--spare", "2").stdout
    assert "instead of 4 1/2" in told
    cut = {row["piece"]: row for row in rows("cutting.csv")}
    assert (cut["wheel"]["count"], cut["wheel"]["width_in"]) == ("40", "4.875")
    *bought, batting = rows("buying.csv")
    assert {(row["usable_width_in"], row["spare_in"]) for row in bought} == {("30", "2")}
    assert all(float(row["bought_in"]) - float(row["used_in"]) >= 2 for row in bought)
    assert batting["usable_width_in"] == batting["spare_in"] == ""
    cautions = [row for row in rows("cutting.csv") if row["cloth"] == "before you cut"]
    assert any("bleeds" in row["how"] for row in cautions)


def test_without_a_pattern_sets_hang_alone_where_an_order_is_asked_for(calicount, small_photo):
    assert calicount("count", small_photo, "--order", "scattered").exit_code == 0
    assert names() & PLAN == {"wall.csv", "wall.jpg"}
    (line,) = rows("tally.csv")
    assert 2 * sum(bool(row["set"]) for row in rows("wall.csv")) == int(line["on_hand"])
    assert calicount("count", small_photo, "--out", "plain").exit_code == 0
    assert names("plain") & PLAN == set()


def test_squares_too_small_for_the_pattern_are_sent_to_remake(calicount, small_photo):
    result = calicount("count", small_photo, "--pattern", "pinwheel", "--square", "4 1/2")
    assert result.exit_code == 3
    assert 'calicount remake pinwheel --square "4 1/2"' in result.stdout
    assert names() & PLAN == set()


def test_a_pattern_that_only_counts_is_not_planned(calicount, small_photo):
    text = 'title = "T"\ndescription = "D"\n[layout]\nblocks = 2\n'
    Path("mine.toml").write_text(text + '[[feature]]\nsize = "5"\nin_all = 2\n', encoding="utf-8")
    assert calicount("count", small_photo, "--pattern", "mine.toml").exit_code == 0
    assert names() & PLAN == set()


def test_the_plan_in_json_is_that_of_the_files(calicount, small_photo):
    result = calicount("count", small_photo, "--pattern", "hourglass", "--json")
    plan = json.loads(result.stdout)["plan"]
    assert [block["place"] for block in plan["wall"]] == [row["place"] for row in rows("wall.csv")]
    assert len(plan["buy"]) == len(rows("buying.csv"))
    assert plan["order"] == "rainbow-diagonal"


def test_an_earlier_plan_goes_with_replace(calicount, small_photo):
    calicount("count", small_photo, "--pattern", "pinwheel", "--out", "x")
    assert names("x") >= PLAN
    calicount("count", small_photo, "--out", "x", "--replace")
    assert names("x") & PLAN == set()


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["--seam", "3"], "a seam of 3 is too wide"),
        (["--width", "2"], "fabric 2 wide"),
        (["--order", "zigzag"], "zigzag"),
    ],
)
def test_orders_that_can_t_be_meant_are_refused(calicount, small_photo, words, why):
    result = calicount("count", small_photo, "--pattern", "pinwheel", *words)
    assert result.exit_code == 2
    assert why in result.stderr
    assert not Path("calicount-out").exists()


def test_squares_left_over_count_for_a_larger_quilt(calicount, small_photo):
    small = pattern_text("pinwheel").replace("rows = 5\ncolumns = 4", "rows = 1\ncolumns = 2")
    Path("few.toml").write_text(small, encoding="utf-8")
    result = calicount("count", small_photo, "--pattern", "few.toml")
    assert result.exit_code == 0, result.output
    more = re.search(r"The quilt: 1 row of 2 .* (\d+) sets left over", result.stdout)
    assert int(more[1]) > 0
    assert "Your bundle could fill: " in result.stdout


@pytest.mark.parametrize("sameness", ["allow", "avoid"])
@pytest.mark.parametrize(("seam", "each", "size"), [("1/4", 4, "5"), ("3/8", 1, "5.125")])
def test_ten_inch_squares_count_as_the_pieces_that_are_cut_from_them(
    calicount, small_photo, sameness, seam, each, size
):
    words = ("--square", "10", "--pattern", "pinwheel", "--seam", seam, "--same-fabric", sameness)
    result = calicount("count", small_photo, *words)
    (wheel,) = [row for row in rows("tally.csv") if row["need"] == "wheel"]
    (cut,) = [row for row in rows("cutting.csv") if row["piece"] == "wheel"]
    assert cut["how"].startswith("4 from a square" if each == 4 else "one from each square")
    assert wheel["size_in"] == cut["width_in"] == size
    pieces = [int(number) for number in wheel["pieces_of_each"].split(";")]
    assert max(pieces) == each
    assert sum(pieces) == int(wheel["on_hand"])
    counted = [row for row in rows("sets.csv") if "not counted" not in row["flags"]]
    used = Counter(row[place] for row in counted for place in ("swatch_a", "swatch_b"))
    assert used == dict(zip(wheel["swatches"].split(";"), pieces, strict=True))
    hung = [row for row in rows("wall.csv") if row["set"]]
    assert 2 * len(hung) == int(wheel["on_hand"])
    assert all(row["darker_goes"] != row["lighter_goes"] for row in hung)
    if each == 4:
        assert result.exit_code == 0, result.output
        assert int(wheel["left_over"]) == 24 - len(used)


@pytest.mark.parametrize("pattern", ["pinwheel", "four-patch", "hourglass"])
def test_squares_kept_apart_are_counted_and_planned_like_the_others(
    calicount, small_photo, pattern
):
    plain = calicount("count", small_photo, "--pattern", pattern, "--out", "plain")
    (first, *_) = rows("sets.csv", "plain")
    apart = f"{first['swatch_a']}+{first['swatch_b']}"
    told = calicount("count", small_photo, "--pattern", pattern, "--forbid", apart, "--out", "two")
    assert told.exit_code == plain.exit_code, told.output
    assert names("two") >= PLAN
    pairs = {frozenset((row["swatch_a"], row["swatch_b"])) for row in rows("sets.csv", "two")}
    assert frozenset(apart.split("+")) not in pairs


def test_locked_sets_without_a_place_in_the_pattern_are_left_aside(calicount, small_photo):
    words = ("count", small_photo, "--pattern", "pinwheel", "--lock", "R1C1+R1C2+R1C3")
    result = calicount(*words)
    assert result.exit_code == 3, result.output
    said = " ".join(result.stdout.split())
    assert "Locked sets of another size than those asked for wait: R1C1 + R1C2 + R1C3." in said
    assert names() >= PLAN
    told = json.loads(calicount(*words, "--json", "--out", "again").stdout)
    assert told["notes"] == [
        "Locked sets of another size than those asked for wait: R1C1 + R1C2 + R1C3."
    ]
