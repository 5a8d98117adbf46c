import logging
import re
import unicodedata
from dataclasses import replace

import numpy as np
import paper
import pytest
from sheets_made import HOSTILE, made, pairs_of, swatch, wall_of

from catalog.errors import UsageError
from catalog.report.pages.card_page import FONTS, CardPage
from catalog.report.pages.font_text import WANTING, laid_out
from catalog.report.pages.set_cards import cards_pdf

ALL = range(0x110000)
"""A font that has every letter."""


def on_paper(sheets, folder, size="A4"):
    """Return each page's words, blanks run together."""
    return [" ".join(text.split()) for text in paper.words_of(cards_pdf(sheets, size), folder)]


def letters_of(face="DejaVuSansCondensed.ttf"):
    from fontTools.ttLib import TTFont

    with TTFont(FONTS / face) as font:
        return set(font.getBestCmap())


# ---------------------------------------------------------------- what is on them


def test_a_card_for_each_set_and_a_label_for_each_place(tmp_path):
    cards, labels = on_paper(made(), tmp_path)
    assert [int(one) for one in re.findall(r"Set (\d+)", cards)] == [1, 2, 3, 4, 5]
    assert cards.count("sewn") == 5
    assert re.findall(r"on the wall: (\w\d)", cards) == ["A1", "A2", "A3", "B1", "B2"]
    assert labels.count("clip here") == labels.count("sewn") == 5
    assert "B3" not in labels
    for told in (
        *("R1C1 dark", "goes upper left and lower right", "a small step (3.4)"),
        *("from dark to light by 7 of 100", "far apart", "star points · Bundle from the market"),
    ):
        assert told in cards
    for told in (
        *("turn: half a turn", "R1C1, the darker: upper left", "press row 1 right, row 2 left"),
        *("to the next block right", "Set 3"),
    ):
        assert told in labels


@pytest.mark.parametrize(("size", "millimetres"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_cloth_and_its_grey_are_where_they_are_looked_for(tmp_path, size, millimetres):
    sheets = made()
    first, _ = paper.pictures_of(cards_pdf(sheets, size), tmp_path, dpi=127)
    dots = 5  # to the millimetre
    assert first.shape[:2] == pytest.approx([mm * dots for mm in millimetres[::-1]], abs=2)
    left, top = 10 + 4 + 23 / 2, 10 + 13 + 23 / 2
    dark = first[round(top * dots), round(left * dots)].astype(int)
    assert dark[0] > dark[1] + 15  # the first square is a dark red
    foot = top + 23 / 2
    own = first[round((foot + 1.8) * dots), round(left * dots)].astype(int)
    np.testing.assert_allclose(own, dark, atol=4)
    bar = first[round((foot + 4.3) * dots), round(left * dots)].astype(int)
    assert np.ptp(bar) <= 3
    assert bar.mean() < 90


def test_pages_fill_up_and_none_is_blank(tmp_path):
    swatches = tuple(swatch(place, 10) for place in range(60))
    sets = pairs_of(swatches)
    sheets = made(60, 10, sets=sets, wall=wall_of(sets))
    pages = paper.pictures_of(cards_pdf(sheets), tmp_path)
    assert len(pages) == 4 + 2
    assert all(paper.ink(page) > 0.02 for page in pages)
    assert all(paper.colour(page) > 0.01 for page in pages)


def test_sets_of_four_have_their_four_squares(tmp_path):
    sheets = made()
    labels = tuple(one.label for one in sheets.swatches[:4])
    four = replace(sheets.sets[0], swatches=labels)
    (text,) = on_paper(replace(sheets, sets=(four,), wall=None), tmp_path)
    assert re.findall(r"R\dC\d", text) == list(labels)


def test_a_set_with_a_square_that_is_gone_keeps_its_name(tmp_path):
    sheets = made(wall=None)
    fewer = replace(sheets, swatches=sheets.swatches[1:])
    (text,) = on_paper(fewer, tmp_path)
    assert "R1C1" in text


def test_a_square_without_a_picture_is_drawn_in_its_colour(tmp_path):
    first, _ = paper.pictures_of(cards_pdf(made(photos=())), tmp_path)
    assert paper.colour(first) > 0.02


def test_colours_stand_side_by_side_under_the_cloth_and_a_print_that_runs_one_way_is_told(tmp_path):
    sheets = made()
    dots = 127 / 25.4
    first, _ = paper.pictures_of(cards_pdf(sheets), tmp_path, dpi=127)
    # Set 2 has R1C3, whose ground is white: 38 % of the bar, then red, then green.
    left, foot = 10 + 190 / 2 + 4, 10 + 13 + 23
    bar = first[round((foot + 1.8) * dots), :].astype(int)
    white, red, green = (bar[round((left + 23 * at) * dots)] for at in (0.2, 0.6, 0.95))
    assert white.min() > 220
    assert red[0] > red[1] + 60
    assert green[1] > green[0] + 30
    cards, labels = on_paper(sheets, tmp_path)
    assert "R1C3 dark, runs one way" in cards
    assert "turn: a quarter turn to the right; R1C3 upright" in labels


def test_without_sets_it_says_so(tmp_path):
    (text,) = on_paper(made(sets=(), wall=None), tmp_path)
    assert "No sets yet" in text


def test_other_paper_is_refused():
    with pytest.raises(UsageError, match="choose A4 or Letter"):
        cards_pdf(made(), "A0")


# ---------------------------------------------------------------- names


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Łódź, Ĝis, Ψωμί, Квадраты", "Łódź, Ĝis, Ψωμί, Квадраты"),
        ("🧵 spring", "(spool of thread) spring"),
        ("中 squares", f"{WANTING} squares"),
        ("half \ud83e here", f"half {WANTING} here"),
        ("line\nbreak\x00", "line break"),
    ],
)
def test_no_name_vanishes_and_none_breaks_it(tmp_path, caplog, name, shown):
    with caplog.at_level(logging.WARNING):
        cards, _ = on_paper(made(title=name), tmp_path)
    assert caplog.records == []
    assert shown in cards


def test_a_hostile_name_is_text(tmp_path):
    assert "<script>alert('x')" in on_paper(made(title=HOSTILE), tmp_path)[0]


def test_a_very_long_name_is_cut_off_inside_its_card(tmp_path):
    pdf = cards_pdf(made(title="m" * 2000))
    text = paper.words_of(pdf, tmp_path)[0]
    assert "m…" in text
    page = paper.pictures_of(pdf, tmp_path, dpi=127)[0]
    between = page[(18 * 5) : (60 * 5), (11 * 5) : int(13.5 * 5)]
    assert between.min() > 200  # what is too long runs out neither to the left


def test_text_is_made_smaller_before_it_is_cut_off():
    with CardPage("A4", "", {}) as page:
        page.begin()
        assert page.write(10, 10, "m" * 20, 12) > 40
        assert page.write(10, 10, "m" * 20, 12, room=40) == pytest.approx(40, abs=0.1)
        assert page.write(10, 10, "m" * 200, 12, room=40) <= 40.1


# ---------------------------------------------------------------- letters


def test_the_fonts_have_the_letters_of_many_languages():
    book, bold = letters_of(), letters_of("DejaVuSansCondensed-Bold.ttf")
    assert book == bold
    for alphabet in ("ąčđěğįłñőøșťůžßþ", "абвгђєїљў", "αβγδέ", "אבגדה", "ابتثج", "…·▯"):
        assert set(map(ord, alphabet)) <= book


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("plain", "plain"),
        ("e\u0301te\u0301", "été"),
        ("שלום", "םולש"),
        ("שלום (3)", "(3) םולש"),
        ("three שלום four", "three םולש four"),
        ("בְּרִית", "תירִבְּ"),
        ("\u202eevil\u202c", "evil"),
    ],
)
def test_what_runs_from_right_to_left_is_turned_round(name, drawn):
    assert laid_out(name, ALL) == drawn


def test_brackets_are_turned_with_what_they_hold():
    for pair in ("()", "[]", "{}", "<>", "\u00ab\u00bb", "\u2039\u203a"):
        assert all(unicodedata.mirrored(one) for one in pair)
        assert laid_out(f"א{pair[0]}ב{pair[1]}", ALL) == f"{pair[0]}ב{pair[1]}א"


@pytest.mark.parametrize(
    ("name", "forms"),
    [
        ("\u0628", "\ufe8f"),  # alone
        ("\u0628\u0628\u0628", "\ufe91\ufe92\ufe90"),  # at the beginning, in the middle, at the end
        ("\u0627\u0628", "\ufe8d\ufe8f"),  # alef joins nothing after it
        ("\u0633\u0644\u0627\u0645", "\ufeb3\ufefc\ufee1"),  # lam and alef are one
        ("\u0644\u0627", "\ufefb"),
    ],
)
def test_arabic_is_joined(name, forms):
    """Forms from the code charts of Unicode, Arabic Presentation Forms-B."""
    assert laid_out(name, ALL) == forms[::-1]


def test_forms_that_a_font_lacks_stay_letters():
    assert laid_out("\u0628\u0628", {0x628}) == "\u0628\u0628"


def test_signs_without_a_name_are_shown_as_wanting():
    assert laid_out("\ue000x", {ord("x")}) == f"{WANTING}x"
    assert laid_out("\U0001d4df\ufb01", {ord("P"), ord("f"), ord("i")}) == "Pfi"
    assert laid_out("\U0001f469\U0001f3fd\u200d\U0001f467", {ord("x")}) == "(woman)(girl)"
