"""``calicount seam``: test strips published and not, and what can't be."""

import json
import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from catalog.cutting.units.sewn_strip import SewnStrip, width_lost
from catalog.errors import UsageError
from catalog.length_text import parse_length
from cli.main import app


def run(*words):
    return CliRunner().invoke(app, ["seam", *map(str, words)])


def told(*words):
    return json.loads(run(*words, "--json").stdout)


@pytest.mark.parametrize(
    ("cut", "pieces", "sewn"),
    [
        # quiltcentric.com/2012/09/16/testing-your-scant-quarter-inch-seam
        ("1 1/2", 3, "3 1/2"),
        # onwilliamsstreet.com/blogs/tutorials/how-to-check-your-quarter-inch-seam
        ("3", 2, "5 1/2"),
        # quiltingboard.com/5145607-post1.html
        ("1 1/2", 4, "4 1/2"),
        # sewingwithstitcher.com/how-to-mark-a-scant-quarter-inch-seam
        ("1 1/4", 2, "2"),
    ],
)
def test_published_test_strips_are_sewn_at_a_quarter(cut, pieces, sewn):
    found = told("--sewn", sewn, "--from", cut, "--pieces", pieces)
    assert (found["seam"], found["seam_exact_in"], found["wider_in"]) == ("1/4", "1/4", 0)


def test_published_middles_and_losses_follow():
    # A middle of 1 in, and an eighth lost over four seams is half an inch
    # (quilted-connections.com/blogs/news/what-is-a-scant-1-4-seam); of 5 in pieces 4 1/2 shows
    # (traceypereira.blogspot.com/p/tips-and-tutorials.html).
    assert told("--sewn", "3 1/2", "--from", "1 1/2")["middle"] == "1"
    assert SewnStrip(Fraction(5), 3, Fraction(14)).middle == Fraction(9, 2)
    assert width_lost(Fraction(5, 16), Fraction(1, 4), 4) == Fraction(1, 2)


@given(st.integers(2, 12), st.integers(8, 48), st.integers(1, 31))
def test_pieces_laid_and_sewn_one_by_one_tell_their_seam(pieces, eighths, part):
    cut = Fraction(eighths, 8)
    seam = cut / 2 * Fraction(part, 32) if pieces > 2 else min(cut, 1) * Fraction(part, 32)
    if seam > 1:
        return
    right = cut  # the right raw edge of what is sewn so far
    for _ in range(pieces - 1):
        stitches = right - seam
        right = stitches - seam + cut  # the next piece's left raw edge lies a seam left of them
    assert SewnStrip(cut, pieces, right).seam == seam
    planned = sum(cut - seam for _ in range(pieces)) - (pieces - 2) * seam
    assert right == planned


def test_a_wide_seam_says_what_to_do_and_what_becomes_of_the_quilt():
    result = run("--sewn", "3 3/8", "--from", "1 1/2", "--seams", 20)
    assert result.exit_code == 0
    text = " ".join(result.stdout.split())
    assert "your seam 9/32 in" in text
    assert "yours is 1/32 in wider" in text
    assert "over 20 seams 1 1/4 in" in text
    assert '--seam "9/32"' in text
    assert "scant quarter" in text
    assert parse_length(told("--sewn", "3 3/8", "--from", "1 1/2")["seam"]) == Fraction(9, 32)


def test_a_seam_on_no_mark_is_exact():
    found = told("--sewn", "4 1/2", "--from", "1 1/2", "--pieces", 4, "--wanted", "3/16")
    assert found["wider_in"] == 0.0625
    assert told("--sewn", "4 7/16", "--from", "1 1/2", "--pieces", 4)["seam"] == "25/96"


def test_centimetres_are_typed_and_shown():
    # 3 x 4 cm less 4 seams of 0.75 cm.
    text = run("--sewn", "9", "--from", "4", "--cm", "--wanted", "0.75").stdout
    assert "0.75 cm" in text
    assert "sew on like that" in text
    assert not re.search(r"[0-9] in\b", text)
    assert told("--sewn", "10", "--from", "4", "--pieces", "4", "--cm")["seam"] == "1"
    assert told("--sewn", "9.1", "--from", "4", "--pieces", "4", "--cm")["seam"] == "1.15"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--sewn", "1 1/2", "--from", "1 1/2", "--pieces", 1), "sew 2 to 50"),
        (("--sewn", "4 1/2", "--from", "1 1/2"), "sewn at 1/4 in they measure 3 1/2 in"),
        (("--sewn", "1 1/2", "--from", "1 1/2"), "would have seams of 3/4 in"),
        (("--sewn", "5", "--from", "5", "--pieces", 2), "seams of 2 1/2 in"),
        (("--sewn", "1/4", "--from", "1/4"), "take wider pieces"),
        (("--sewn", "x", "--from", "1 1/2"), "is no length"),
        (("--sewn", "3 1/2", "--from", "1 1/2", "--seams", 0), "give --seams from 1"),
        (("--sewn", "3 1/2", "--from", "1 1/2", "--wanted", "3"), "too wide for patchwork"),
    ],
)
def test_what_can_t_be_is_one_sentence(words, sentence):
    result = run(*words)
    assert result.exit_code == 2
    assert sentence in " ".join(result.stderr.split())


def test_a_strip_with_no_middle_left_is_refused_in_the_library_too():
    with pytest.raises(UsageError, match="measure both again"):
        SewnStrip(Fraction(1), 3, Fraction(1))


def test_millimetres_are_plain_numbers():
    assert "48 seams 110 mm" in run("--sewn", 9, "--from", 4, "--cm").stdout


def test_one_piece_is_no_test_strip():
    assert "1 piece can't be" in run("--sewn", 2, "--from", 2, "--pieces", 1).stderr
