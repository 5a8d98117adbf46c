"""``calicount remake`` as a person types it."""

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from catalog.cutting.adapted.adaptation import SHAPES
from catalog.cutting.adapted.cautions import CAUTIONS
from cli.main import app


@pytest.fixture
def remake(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")

    def run(*words):
        return CliRunner().invoke(app, ["remake", *map(str, words)])

    return run


def test_written_and_yours_stand_side_by_side(remake):
    result = remake("pinwheel", "--square", "5")
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    assert re.search(r"cut: wheel +5 +5, as it is +4 7/8 would do: 1/8 in to spare", result.stdout)
    assert re.search(r"quilt, finished +40 x 48 +40 x 48", result.stdout)
    assert "Your squares reach the written sizes." in result.stdout


def test_the_cautions_stand_there_once(remake):
    text = " ".join(remake("pinwheel").stdout.split())
    for caution in CAUTIONS:
        assert text.count(caution) == 1
    assert "bleeds" in text
    assert "shrinks" in text


def test_too_small_a_unit_is_3_and_told_before_anything_is_cut(remake):
    result = remake("pinwheel", "--square", "4 3/4")
    assert result.exit_code == 3
    assert "1/8 in smaller than written" in " ".join(result.stdout.split())
    assert "the largest block they give finishes at 7 3/4 in" in result.stdout


@pytest.mark.parametrize("square", [None, "5", "4 3/4"])
@pytest.mark.parametrize("name", ["pinwheel", "four-patch"])
def test_smaller_blocks_that_were_asked_for_are_no_shortfall(remake, name, square):
    result = remake(name, "--finished", "7", *(("--square", square) if square else ()))
    assert result.exit_code == 0, result.output
    assert "smaller than written, as you asked" in " ".join(result.stdout.split())
    assert "don't reach" not in result.stdout
    assert "Blocks of 7 in finished, as you asked for" in result.stdout


def test_larger_blocks_than_the_squares_give_stay_refused(remake):
    assert remake("pinwheel", "--finished", "9", "--square", "5").exit_code == 2


def test_too_few_sets_are_3(remake):
    result = remake("pinwheel", "--sets", 15)
    assert result.exit_code == 3
    assert "5 more sets for 5 rows of 4" in result.stdout


def test_small_pieces_come_from_the_squares_that_the_pattern_asks_for(remake):
    found = json.loads(remake("four-patch", "--json").stdout)
    (post,) = [cut for cut in found["cut"] if cut["piece"] == "cornerstone"]
    assert post["how"] == "9 from a square left over"


def test_small_pieces_take_of_the_sets_too(remake):
    # 12 blocks take 12 sets, their 20 cornerstones three squares, which are two sets more.
    assert "2 more sets for 4 rows of 3" in remake("four-patch", "--sets", 12).stdout
    found = json.loads(remake("four-patch", "--sets", 14, "--json").stdout)
    assert found["sets"]["left_over"] == 0
    assert found["sets"]["missing"] == found["sets"]["wanting"] == []


def test_a_seam_is_told_by_a_measured_unit(remake):
    # Two at a time c - root 2 x seam: 5 - 1.4142 / 4 = 4.646 at 1/4; 4.6875 is a narrower seam.
    found = json.loads(remake("pinwheel", "--square", 5, "--measured", "4 11/16", "--json").stdout)
    assert found["seam_in"] == pytest.approx(0.221, abs=0.0006)
    assert found["block_finished_in"] == pytest.approx(2 * (4.5 - 2 * found["seam_in"]))


def test_json_is_alone_on_standard_output_and_whole(remake):
    result = remake("four-patch", "--sets", 15, "--shape", "largest", "--json")
    found = json.loads(result.stdout)
    assert found["yours"]["blocks"] <= 15
    assert {row["piece"] for row in found["rows"]} >= {"cut: patch", "block, finished", "sashing"}
    assert [buy["cloth"] for buy in found["buy"]][-3:] == ["binding", "backing", "batting"]
    assert all(cut["count"] > 0 for cut in found["cut"])
    assert found["cautions"] == list(CAUTIONS)


@pytest.mark.parametrize("shape", SHAPES)
def test_shapes_in_help_are_those_that_are_taken(remake, shape):
    text = " ".join(
        CliRunner().invoke(app, ["remake", "--help"], env={"COLUMNS": "200"}).stdout.split()
    )
    assert shape in text
    assert remake("pinwheel", "--shape", shape).exit_code in {0, 3}


def test_centimetres_are_shown_and_bought(remake):
    result = remake("pinwheel", "--square", "12.5 cm", "--cm")
    assert "made over (cm)" in result.stdout
    assert re.search(r"background +0\.\d m ", result.stdout)


@pytest.mark.parametrize(
    ("words", "spare", "bought"),
    [
        # The backing uses two lengths of 48 in, 96: 21 1/3 eighths of a yard, or 243.8 cm.
        ([], 4.5, 23 * 4.5),
        (["--spare", "0"], 0.0, 22 * 4.5),
        (["--spare", "1/4 yd"], 9.0, 24 * 4.5),
        (["--spare", "1"], 1.0, 22 * 4.5),
        (["--cm"], 10 / 2.54, 260 / 2.54),
    ],
)
def test_each_cloth_has_a_stated_part_to_spare(remake, words, spare, bought):
    found = json.loads(remake("pinwheel", *words, "--json").stdout)
    *cloths, batting = found["buy"]
    assert [buy["spare_in"] for buy in cloths] == pytest.approx([spare] * len(cloths))
    for buy in cloths:
        assert buy["bought_in"] - buy["used_in"] >= spare - 1e-9
    assert batting["spare_in"] == 0.0
    (backing,) = [buy for buy in cloths if buy["cloth"] == "backing"]
    assert backing["bought_in"] == pytest.approx(bought)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["pinwheel", "--square", "five"], '"five" is no length'),
        (["pinwheel", "--seam", "2"], "a seam of 2 is too wide"),
        (["pinwheel", "--measured", "4 1/2"], "--square"),
        (["pinwheel", "--shape", "oval"], '"oval" is no shape'),
        (["pinwheel", "--sets", "0"], "0 sets"),
        (["pinwheel", "--width", "4"], "fabric 4 wide"),
        (["pinwheel", "--spare", "100"], "100 to spare"),
        (["pinwheel", "--spare", "-1"], '"-1" is not more than 0'),
        (["pinwheel", "--spare", "some"], '"some" is no length'),
        (["pinwheel", "--shrinkage", "60"], "60 percent"),
        (["pinwheel", "--square", "5", "--finished", "9"], "the nearest that can is 8 1/4 in"),
        (["pinwhel"], "write pinwheel"),
    ],
)
def test_what_can_t_be_meant_is_refused_in_a_sentence(remake, words, why):
    result = remake(*words)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert why in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_pattern_that_only_counts_is_refused_with_the_cure(remake):
    top = 'title = "T"\ndescription = "D"\n[layout]\nblocks = 6\n'
    Path("mine.toml").write_text(top + '[[feature]]\nsize = "5"\nin_all = 6\n', encoding="utf-8")
    result = remake("mine.toml")
    assert result.exit_code == 2
    assert "add [block]" in result.stderr
