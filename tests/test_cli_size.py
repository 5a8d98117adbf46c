import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.cutting.units.units_by_name import all_units
from catalog.length_text import parse_length
from cli.main import app

GOLDEN = Path(__file__).parent / "golden" / "sizes.txt"


def run(*words):
    return CliRunner().invoke(app, ["size", *words])


def answer(*words):
    result = run(*words, "--json")
    assert result.exit_code in {0, 3}, result.output
    return json.loads(result.stdout)


def said(*words, code=0):
    result = run(*words)
    assert result.exit_code == code, result.output
    return result.stdout if code in {0, 3} else " ".join(result.stderr.split())


def test_from_the_square_in_hand():
    got = answer("half-square-triangle", "--square", "5")
    assert {key: got[key] for key in ("unit", "at_a_time", "seam", "cut", "trim", "finished")} == {
        "unit": "half-square-triangle",
        "at_a_time": 2,
        "seam": "1/4",
        "cut": "5",
        "trim": "4 5/8",
        "finished": "4 1/8",
    }
    assert got["unfinished_in"] == pytest.approx(5 - 2**0.5 / 4)
    assert (got["cut_in"], got["trim_in"], got["finished_in"]) == (5, 4.625, 4.125)
    assert got["pieces"] == 2
    assert (got["easy"]["cut"], got["easy"]["finished"]) == ("4 7/8", "4")


def test_from_the_finished_size():
    got = answer("half-square-triangle", "--finished", "4")
    assert [got[key] for key in ("cut", "unfinished", "trim", "finished")] == [
        "4 7/8",
        "4 1/2",
        "4 1/2",
        "4",
    ]
    assert got["cut_least_in"] == pytest.approx(4.853553)
    assert got["spare_in"] == pytest.approx(4.875 - 2**0.5 / 4 - 4.5)


@pytest.mark.parametrize(
    "unit",
    [
        "square",
        "half-square-triangle",
        "half-square-triangle-strips",
        "quarter-square-triangle",
        "flying-geese",
        "square-in-a-square",
        "square-in-a-square-triangles",
        "square-in-a-square-quarters",
        "flipped-corners",
        "octagon",
        "four-patch",
        "four-patch-strips",
        "nine-patch",
        "nine-patch-strips",
        "quartered-nine-patch",
        "setting-triangle",
        "corner-triangle",
    ],
)
def test_every_unit_answers_both_ways_round(unit):
    for option in ("--square", "--finished"):
        got = answer(unit, option, "4 1/2")
        assert got["unit"] == unit
        assert got["pieces"] >= 1
        for key in ("cut", "trim", "finished", "seam"):
            first = got[key].split(" x ")[0]
            assert float(parse_length(first)) == pytest.approx(got[f"{key}_in"])
        assert got["finished_in"] == pytest.approx(got["trim_in"] - 2 * got["seam_in"])
        assert got["unfinished_in"] >= got["trim_in"]
        assert 0 <= got["waste_sq_in"] < got["cloth_sq_in"]
        shown = got["finished"]
        assert f"  {shown} in" in said(unit, option, "4 1/2").replace("of ", "  ")


def every_answer():
    """What is said again of all that the file asks, without cautions."""
    for words in re.findall(r"^\$ calicount size (.*)$", GOLDEN.read_text("utf-8"), re.MULTILINE):
        yield f"$ calicount size {words}\n{said(*words.split()).split('Before you')[0]}"


def test_golden_answers_of_all_units():
    assert "".join(every_answer()) == GOLDEN.read_text(encoding="utf-8")


def test_flying_geese_have_two_sides_and_two_kinds_of_square():
    got = answer("flying-geese", "--finished", "4 x 2")
    assert (got["finished"], got["finished_in"], got["finished_height_in"]) == ("4 x 2", 4, 2)
    assert [(cut["count"], cut["cut"]) for cut in got["cuts"]] == [(1, "5 1/4"), (4, "2 7/8")]
    one = answer("flying-geese", "--finished", "4", "--at-a-time", "1")
    assert (one["cut"], one["pieces"]) == ("4 1/2 x 2 1/2", 1)
    assert "--finished" not in said("flying-geese", "--finished", "4 x 3", code=2)
    assert "is 2 in high" in said("flying-geese", "--finished", "4 x 3", code=2)


def test_the_sum_of_every_piece_can_be_followed():
    text = said("flying-geese", "--finished", "4")
    assert "large square for the geese is the finished width + 1.207 in; the trade adds" in text
    assert "small square for the sky is the finished width / 2 + 0.854 in; the trade" in text
    one = said("flying-geese", "--finished", "4", "--at-a-time", "1")
    assert "the finished width + 1/2 in wide and the finished height + 1/2 in high" in one
    assert "1.414 x the finished block + 1.207 in" in said("setting-triangle", "--finished", "6")
    assert "the finished block / 1.414 + 0.854 in" in said("corner-triangle", "--finished", "6")
    eight = said("hst", "--finished", "3", "--at-a-time", "8")
    assert "2 x the finished size + 1.707 in; the trade adds 1 3/4" in eight


def test_rectangles():
    assert answer("rectangle", "--finished", "2 by 4")["cut"] == "4 1/2 x 2 1/2"
    from_square = answer("rectangle", "--square", "5")
    assert (from_square["cut"], from_square["pieces"]) == ("5 x 2 1/2", 2)
    assert answer("rectangle", "--square", "5", "--at-a-time", "3")["cut"] == "5 x 1 5/8"
    assert "write both" in said("rectangle", "--finished", "4", code=2)
    assert "smaller --at-a-time" in said("rectangle", "--square", "5", "--at-a-time", "10", code=2)


def test_another_seam_and_another_ruler():
    got = answer("hst", "--square", "5", "--seam", "3/16", "--ruler", "1/16")
    assert (got["seam"], got["trim"], got["finished"]) == ("3/16", "4 11/16", "4 5/16")


def test_a_seam_between_the_marks_is_told_in_decimals_and_promises_no_easy_size():
    text = said("hst", "--square", "5", "--seam", "0.22")
    assert "a little under 4 3/16 in (4.185)" in text
    assert "easier number" not in text
    assert "the trade" not in text
    assert answer("hst", "--square", "5", "--seam", "0.22")["easy"] is None


def test_the_title_is_written_as_people_do():
    titles = {
        "hst": "Half-square triangle, 2 at a time, with a seam of 1/4 in",
        "square-in-a-square-triangles": "Square in a square triangles, with a seam of 1/4 in",
        "hourglass": "Quarter-square triangle, 2 at a time, with a seam of 1/4 in",
    }
    assert {unit: said(unit, "--square", "5").splitlines()[0] for unit in titles} == titles


def test_centimetres():
    got = answer("square", "--finished", "10 cm", "--seam", "0.75 cm", "--cm")
    assert (got["cut"], got["finished"]) == ("11.5 cm", "10.0 cm")
    assert got["cut_in"] == pytest.approx(11.5 / 2.54)
    text = said("hourglass", "--square", "12.5 cm", "--cm")
    assert "in)" not in text
    assert "12.5 cm" in text


def test_a_measured_unit_tells_the_seam_and_warns_before_cutting():
    words = ("hst", "--square", "4 7/8", "--measured", "4 7/16", "--trim-to", "4 1/2")
    text = said(*words, code=3)
    assert "5/16 in" in text.splitlines()[0]
    assert "Too small" in text
    assert "make that piece 5 in" in text
    got = answer(*words)
    assert got["pattern"]["reached"] is False
    assert got["pattern"]["cut_needed"] == "5"
    assert "reaches" in said("hst", "--square", "4 7/8", "--trim-to", "4 1/2")


def test_a_patch_between_the_marks_names_the_sizes_that_can_be_had():
    text = said("nine-patch", "--finished", "4")
    assert "3 3/4 in finished from 1 3/4 in or 4 1/8 in finished from 1 7/8 in" in text


def test_a_square_in_a_square_is_never_trimmed_into_its_points():
    words = ("square-in-a-square-triangles", "--square", "5")
    text = said(*words)
    assert "2 squares to cut once on the diagonal, 4 1/8 in" in text
    assert "trim to   6 7/8 in" in text
    assert "no closer, or the next seam cuts them off" in text
    assert "cut the centre 4 3/4 in and what lies round it 3 7/8 in: then it finishes at 6" in text
    got = answer(*words, "--trim-to", "6 1/2")
    assert got["pattern"]["reached"] is False
    assert got["pattern"]["over_in"] == pytest.approx(4.5 * 2**0.5 + 0.5 - 6.5)
    assert "make that piece 4 3/4 in" in said(*words, "--trim-to", "6 1/2", code=3)


def test_a_patch_is_not_trimmed():
    # 3 (5 - 0.44) + 0.44: a figure between the marks stays what it is.
    got = answer("nine-patch", "--square", "5", "--seam", "0.22")
    assert got["unfinished_in"] == got["trim_in"] == pytest.approx(14.12)
    text = said("nine-patch", "--square", "5", "--seam", "0.22")
    assert "trim to" not in text
    assert "Don't trim it" in text
    assert "it isn't trimmed" in said("nine-patch", "--square", "5", "--trim-to", "13", code=3)


def test_flipped_corners_are_cut_to_the_ruler_chosen():
    # A third of 4 and two seams is 1.833: 1 3/4 on quarters, 1 7/8 on eighths, 1 13/16 on 16ths.
    corners = {
        ruler: answer("flipped-corners", "--finished", "4", "--ruler", ruler)["cuts"][1]["cut"]
        for ruler in ("1/4", "1/8", "1/16")
    }
    assert corners == {"1/4": "1 3/4", "1/8": "1 7/8", "1/16": "1 13/16"}


def test_the_cautions_stand_where_someone_is_told_to_cut_sew_and_press():
    text = " ".join(said("hst", "--square", "5").split())
    got = answer("hst", "--square", "5")
    assert got["cautions"] == list(CAUTIONS)
    assert [text.count(caution) for caution in CAUTIONS] == [1] * len(CAUTIONS)
    assert {"dull blade", "no child and no animal"} <= {
        words for words in ("dull blade", "no child and no animal") if words in text
    }


def test_what_is_on_the_bias_and_what_is_left():
    assert "on the bias" in said("hst", "--finished", "4", "--at-a-time", "4")
    assert "straight grain" in said("hst", "--finished", "4")
    assert "Left of the square: 5 x 2 1/4." in said(
        "flying-geese", "--square", "5", "--at-a-time", "1"
    )
    assert "half-square triangle to trim to 2 in" in said("square-in-a-square", "--square", "5")


def test_the_rule_of_064_is_set_right():
    # Unfinished 1 1/2: root 2 x 1 1/2 + 1/2 = 2.621 against 1 1/2 / 0.64 = 2.344.
    text = said("hst", "--finished", "1", "--at-a-time", "4")
    assert "would say 2.344 in, 0.278 in too small" in text
    assert "larger than needed" in said("hst", "--finished", "6", "--at-a-time", "4")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("hst",), "neither --square nor --finished is given; give --square"),
        (("hst", "--square", "5", "--finished", "4"), "both given"),
        (("hst", "--square", "five"), '"five" is no length'),
        (("hst", "--square", "1/2"), "nothing would show"),
        (("hst", "--square", "5", "--at-a-time", "3"), "use --at-a-time 1 or 2 or 4 or 8"),
        (("hst", "--square", "5", "--seam", "3"), "too wide for patchwork"),
        (("hst", "--square", "5", "--seam", "-1/4"), "not more than 0"),
        (("hst", "--square", "5", "--large"), "cut already"),
        (("hst", "--finished", "5", "--measured", "4"), "give it with --square"),
        (("hst", "--square", "5", "--measured", "6"), "measure both again"),
        (("rectangle", "--square", "5", "--measured", "4"), "measure a nine-patch"),
        (("hst", "--square", "5", "--ruler", "3"), "no ruler has a mark"),
        (("nine-patch-strips", "--finished", "6", "--width", "2"), "give a longer --width"),
        (("half-circle", "--square", "5"), "there is no unit"),
        (("log-cabin-8", "--finished", "2"), "give --finished 4 1/4 in or more, or fewer"),
        (("rails-20", "--finished", "6"), "a rails has 2 to 12 rails, not 20; write rails-12"),
        (("economy-3", "--finished", "6"), 'no unit "economy-3"; write economy'),
        (("log-cabin-3-2-1", "--finished", "6"), "takes 2 numbers at most, not 3"),
        (("hexagon", "--finished", "3", "--width", "3"), "too short for one hexagon"),
        (("disappearing-four-patch", "--square", "1"), "start from at least"),
        (("star-sashing", "--finished", "8 x 16 x 2"), "is no length"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(words, sentence):
    complaint = said(*words, code=2)
    assert sentence in complaint
    assert complaint.startswith("calicount: ")
    assert complaint.endswith(".")


def test_help_names_every_unit():
    text = " ".join(run("--help").output.replace("│", " ").split()).replace("- ", "-")
    assert [unit for unit in all_units() if unit not in text] == []


def test_the_answer_needs_no_heavy_library():
    code = (
        "import sys; from typer.testing import CliRunner; from cli.main import app; "
        "assert CliRunner().invoke(app, ['size', 'hst', '--square', '5']).exit_code == 0; "
        "print(sorted({'cv2', 'pandas', 'sklearn', 'scipy', 'colour'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("unit", "strips"), [("setting-triangle", "one strip"), ("corner-triangle", "two strips")]
)
def test_edge_triangles_say_what_to_give_with_sashing(unit, strips):
    told = " ".join(said(unit, "--finished", "8").split())
    assert f"With sashing, give the block and {strips} as the size." in told


def test_yards_say_that_they_are_for_all_fabrics_and_pieces_have_plain_names():
    assert "By the yard, all fabrics together:" in said(
        "economy", "--finished", "4", "--number", "48"
    )
    words = ["--finished", "4", "--number", "5", "--precut"]
    refused = " ".join(run("log-cabin-4-2", *words, "5 in squares").stderr.split())
    assert "log 16 is larger" in refused


def test_pieces_larger_than_the_square_in_hand_are_told():
    told = said("friendship-star", "--square", "5")
    assert "points and their ground can't come from such a square" in told
    assert "it can finish at 12 in" in told
    assert "such a square" not in said("nine-patch", "--square", "5")


def test_words_and_decimals_read_well():
    assert "an octagon isn't made" in said("octagon", "--finished", "4", "--at-a-time", "9", code=2)
    assert "12.7 cm x 4.13 cm" in said("star-sashing", "--square", "12.7", "--cm")
    assert "--------" not in run("--help").stdout
