"""Cutting instructions in words: what is read from them, and what is pointed out."""

import json
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.pattern.words.instruction_reading import read_instructions
from catalog.pattern.words.phrases.word_tokens import tokens_of, without_width


def pieces(text):
    """Return what was read as plain rows, lengths in inches."""
    return [
        (one.cloth, one.shape, one.count, float(one.width),
         None if one.length is None else float(one.length), one.diagonal_cuts)
        for one in read_instructions(text).pieces
    ]  # fmt: skip


def doubts(text):
    return " ".join(read_instructions(text).doubts)


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ('2 1/2"', "5/2", 1),
        ("2-1/2 in.", "5/2", 1),
        ("2½-inch", "5/2", 1),
        ("4⅞″", "39/8", 1),
        ("2⁷⁄₈”", "23/8", 1),  # noqa: RUF001 - as word processors write it
        ("two and a half inches", "5/2", 1),
        ("four and seven-eighths inches", "39/8", 1),
        ("one hundred and ninety-two", "192", None),
        ("1,200", "1200", None),
        ("6,5 cm", "13/2", Fraction(100, 254)),
        ("62 mm", "62", Fraction(10, 254)),
        ("half a dozen", "6", None),
        ('51/4"', "21/4", 1),
    ],
)
def test_numbers_in_all_their_writings(text, number, unit):
    first, *rest = tokens_of(without_width(text))
    assert first.value == Fraction(number)
    assert [token.value for token in rest if token.kind == "unit"] == [unit][: unit is not None]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ('Cut 4 strips 2 1/2" x WOF; subcut into 64 squares 2 1/2"',
         [("", "square", 64, 2.5, 2.5, 0)]),
        ("From each of 20 fabrics cut (2) 4⅞-inch squares, cut once diagonally",
         [("fabrics", "square", 40, 4.875, 4.875, 1)]),
        ('36 \u2013 5" napkin-size squares', [("napkin-size", "square", 36, 5, 5, 0)]),
        ("From the blue print, cut:\n 4 strips\n 2½” wide by the width of fabric",
         [("blue print", "strip", 4, 2.5, None, 0)]),
        ('Binding: 6 strips 2.25" x WOF (usable width 40")\nWOF = 40"',
         [("binding", "strip", 6, 2.25, 40, 0)]),
        ("A: 12 squares 10 x 10 cm, rose\nB: 6 rectangles 5 cm by 10 cm, rose",
         [("rose", "square", 12, 10 / 2.54, 10 / 2.54, 0),
          ("rose", "rectangle", 6, 5 / 2.54, 10 / 2.54, 0)]),
        ("Per block (make 16): 4 red squares 2½ in",
         [("red", "square", 64, 2.5, 2.5, 0)]),
        ("Cloth | Count | Size (in) | Then\nRed | 12 | 5 1/4 | cut twice diagonally",
         [("red", "square", 12, 5.25, 5.25, 2)]),
        ('Rectangles, 2½" x 4½": 16 green, 8 white',
         [("green", "rectangle", 16, 2.5, 4.5, 0), ("white", "rectangle", 8, 2.5, 4.5, 0)]),
        ("Cut 8 squares 5 in from the tan and 4 from the teal. Do the same with the gold print.",
         [("tan", "square", 8, 5, 5, 0), ("teal", "square", 4, 5, 5, 0),
          ("gold print", "square", 8, 5, 5, 0), ("gold print", "square", 4, 5, 5, 0)]),
    ],
)  # fmt: skip
def test_phrases_of_the_trade(text, read):
    assert [
        (*row[:3], pytest.approx(row[3]), row[4] and pytest.approx(row[4]), row[5]) for row in read
    ] == pieces(text)


def test_every_piece_names_the_words_it_was_read_from():
    text = 'Sort the scraps.\nFrom the rust cut 12 squares 4 1/2" and six strips 2" x WOF.'
    read = read_instructions(text)
    assert [piece.text for piece in read.pieces] == ['12 squares 4 1/2"', 'six strips 2" x WOF']
    assert all(piece.text in text for piece in read.pieces)


def test_sewing_is_no_cutting_and_no_noise():
    read = read_instructions(
        'Sew two 4 1/2" squares together with a 1/4" seam.\nPress.\n'
        'Cut apart on the line. Trim each unit to 4".\nFinished block 12".'
    )
    assert (read.pieces, read.unread, read.doubts) == ((), (), ())
    assert len(read.noted) >= 3


def test_what_is_not_understood_is_told():
    text = 'From the red cut 4 squares 5" and enough 2" strips for the frame.'
    read = read_instructions(text)
    assert [piece.count for piece in read.pieces] == [4]
    assert read.unread == (text.rstrip("."),)


SOUP = tuple(
    word
    for line in (
        'cut Cut subcut into from of each the red cream print background 4 12 2½" 5" x WOF (2)',
        "( ) [ ] strips squares rectangles triangles diagonally twice in half , . ; : - | * =",
        "1 1/2 yd yards fat quarters blocks per block for binding then these it both and same of",
        "more total sew press 0 1/0 ½ cm 10 @ A B A: \\t \\n \\n\\n → pcs. dozen width length",
    )
    for word in line.split(" ")
)


@settings(max_examples=150)
@given(st.lists(st.sampled_from(SOUP), max_size=40))
def test_no_words_in_any_order_are_too_much(words):
    text = " ".join(words).replace("\\t", "\t").replace("\\n", "\n")
    read = read_instructions(text)
    said = " ".join(text.split())
    assert all(piece.count > 0 and piece.width > 0 for piece in read.pieces)
    assert all(" ".join(piece.text.split()) in said for piece in read.pieces)


@pytest.mark.parametrize(
    "again", ["a ", "the ", "( ", "1 ", "4 squares 5 in ", "from each of ", "x\\t"]
)
def test_nonsense_without_end_comes_to_an_end(again):
    read = read_instructions(again * (120_000 // len(again)))
    assert read.pieces == ()
    assert "all behind the first 100,000 letters" in read.unread


def test_cloth_to_buy():
    read = read_instructions(
        "Materials\n1 1/4 yards background\n8 fat quarters, mixed blues\nhalf a yard of rust\n"
        "2 m white\nBatting 60 x 60 in"
    )
    assert [(buy.cloth, float(buy.yards)) for buy in read.buys] == [
        ("background", 1.25), ("mixed blues", 2), ("rust", 0.5),
        ("white", pytest.approx(2 / 0.9144)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('Cut 4 strips 2 1/2" x WOF; subcut into 70 squares 2 1/2"', "give 64, 70 are said"),
        ('Cut 30 squares 4 7/8", cut once diagonally to make 90 triangles', "give 60 triangles"),
        ('Red, 1/2 yard: cut 8 strips 3 1/2" x WOF', "takes 28 in of cloth (7/8 yd)"),
        ('12 blocks\nEach block needs 4 dark squares.\nDark: 40 squares 3"', "need 48, 40 are"),
        ('Quilt is 72" x 72".\nBinding: cut 5 strips 2 1/4" x 42"', "the way round"),
        ('Finished block 8 in.\nTan: 8 squares 4", cut once diagonally', "doesn't go into a block"),
        ('From each print cut 4 squares 5"', "how many fabrics isn't told"),
        ('For each block cut 4 squares 5" from the red', "how many blocks there are isn't told"),
        ('Cut squares 5" from the red', "how many isn't said"),
    ],
)
def test_numbers_that_disagree_are_pointed_out(text, told):
    assert told in doubts(text)


def test_numbers_that_agree_are_not():
    text = (
        'Finished block 8".\nBackground, 1 yard\nCut 4 strips 2 1/2" x WOF; subcut into 64 squares '
        '2 1/2".\nCut 8 squares 4 7/8", cut once diagonally to make 16 triangles.'
    )
    assert doubts(text) == ""


def test_the_command_prints_pieces_as_json(calicount, tmp_path):
    file = tmp_path / "words.txt"
    file.write_bytes('From the red cut 4 squares 4½" and 2 strips 2" x WOF.'.encode("cp1252"))
    told = json.loads(calicount("pattern", "read", str(file), "--json").stdout)
    assert told["pieces"][0] == {
        "cloth": "red", "shape": "square", "count": 4, "width_in": 4.5, "length_in": 4.5,
        "diagonal_cuts": 0, "text": '4 squares 4½"', "label": "", "strips": [],
    }  # fmt: skip
    assert told["pieces"][1]["length_in"] is None
    assert (told["buys"], told["unread"], told["doubts"]) == ([], [], [])


def test_the_command_shows_pieces_beside_their_words(calicount, tmp_path):
    file = tmp_path / "words.txt"
    file.write_text('Red, 1/2 yard\nCut 8 strips 3 1/2" x WOF; subcut into 88 squares 3 1/2".')
    shown = calicount("pattern", "read", str(file)).stdout
    assert "88 squares 3 1/2 in, from 8 strips 3 1/2 in wide" in shown
    assert 'read from: 88 squares 3 1/2"' in shown
    assert "Look at these again:" in shown


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"%PDF-1.7 ...", "is no plain text"),
        (b"\0\1\2\0", "is no plain text"),
        (b" \n", "is empty"),
        (None, "there is no file"),
    ],
)
def test_what_is_no_text_is_refused_in_a_sentence(content, told, calicount, tmp_path):
    file = tmp_path / "words.txt"
    if content is not None:
        file.write_bytes(content)
    result = calicount("pattern", "read", str(file))
    assert result.exit_code == 2
    assert told in result.stderr
