"""Instructions in words: whose cloth a piece is, what is bought, and what is only guessed."""

import pytest
from test_pattern_words import doubts, pieces

from catalog.pattern.words.instruction_reading import read_instructions


def buys(text):
    return [(one.cloth, round(float(one.yards), 3)) for one in read_instructions(text).buys]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ('Red, 1 yd.\nIron grey, 1/2 yd. Cut 5 strips 2".',
         [("iron grey", "strip", 5, 2, None, 0)]),
        ('Take the sea. Cut 4 squares 3".\nTake the brick. Cut 5 squares 2".',
         [("sea", "square", 4, 3, 3, 0), ("brick", "square", 5, 2, 2, 0)]),
        ('Iron grey: 5 strips 2 1/4" x WOF', [("iron grey", "strip", 5, 2.25, None, 0)]),
        ('From each of 16 prints: one 6 1/2" square.\nThe sea gives: 48 squares 3"',
         [("prints", "square", 16, 6.5, 6.5, 0), ("sea", "square", 48, 3, 3, 0)]),
        ('Sashing: 10 strips 2" x 8"\nCut 20 red squares, 3".',
         [("sashing", "strip", 10, 2, 8, 0), ("red", "square", 20, 3, 3, 0)]),
        ('Seven greens, of each: (6) 4" sq.', [("greens", "square", 42, 4, 4, 0)]),
        ('red: 10 @ 1½" high x 8" wide', [("red", "rectangle", 10, 8, 1.5, 0)]),
        ('Grey: 2 lengths 3½" x 60" cut along the selvedge', [("grey", "strip", 2, 3.5, 60, 0)]),
        ('Piece A (navy): 3½" x 6½" - 36\nPiece B (white): 3½" sq. - 72\n'
         'Piece C (gold): 2" sq. - 36 total, 4 per block',
         [("navy", "rectangle", 36, 3.5, 6.5, 0), ("white", "square", 72, 3.5, 3.5, 0),
          ("gold", "square", 36, 2, 2, 0)]),
        ('From each of the 20 layer squares (10" x 10"), cut:\n  A: one 5 1/2" x 10" piece',
         [("layer", "rectangle", 20, 5.5, 10, 0)]),
        ('From fabrics 2, 3 and 4, cut 1 square each 2 1/2"',
         [(f"fabric {n}", "square", 1, 2.5, 2.5, 0) for n in (2, 3, 4)]),
        ("Main: Cut (2) 15 × 128 cm",  # noqa: RUF001 - as patterns print it
         [("main", "rectangle", 2, pytest.approx(5.9055, abs=1e-4),
           pytest.approx(50.3937, abs=1e-4), 0)]),
        ('POND BLOCK (make 20)\nFor each block cut\n  1 square 6" from a print\n'
         '  4 squares 3" from the oat\nSashing (sea): 49 strips 2" x 12"',
         [("print", "square", 20, 6, 6, 0), ("oat", "square", 80, 3, 3, 0),
          ("sea", "strip", 49, 2, 12, 0)]),
        ('Slate\nEight strips, each 2 1/2 inches by the full width. Crosscut six of them into '
         "96 squares; leave the other two long.",
         [("slate", "strip", 2, 2.5, None, 0), ("slate", "square", 96, 2.5, 2.5, 0)]),
        ('From each of 20 prints cut:\n A: one 5" x 10" piece\n B: one 4 1/2" x 10" piece\n'
         'Cut B in half to yield two 4 1/2" x 5" rectangles.',
         [("prints", "rectangle", 20, 5, 10, 0), ("prints", "rectangle", 40, 4.5, 5, 0)]),
        ('Red: cut 3 strips that are 2\ninches wide.', [("red", "strip", 3, 2, None, 0)]),
        ('You need a pack of forty 2 1/2" strips, 1 yd of cream.', []),
    ],
)  # fmt: skip
def test_a_piece_is_of_the_cloth_that_the_text_says(text, read):
    assert pieces(text) == read


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Fabric A: 1.25 m; Fabric B: 50 cm; Fabric C: 0,75 m",
         [("fabric a", 1.367), ("fabric b", 0.547), ("fabric c", 0.82)]),
        ("To buy: rose 0.75 m, castle blue 1.25 m (all 112 cm wide; we count on 108 cm)",
         [("rose", 0.82), ("castle blue", 1.367)]),
        ('From each of 12 blue fat quarters cut six 4 7/8" squares.', [("blue fat quarters", 3)]),
        ("(12) fat eighths assorted prints", [("assorted prints", 1.5)]),
        ("YARDAGE\nMain: 3 m\n\nBORDER\nMain: Cut 4 strips at 4 cm wide, 120 cm long",
         [("main", 3.281)]),
        ("Brass hands, half a yard.", [("brass hands", 0.5)]),
    ],
)  # fmt: skip
def test_cloth_to_buy_is_that_beside_its_amount(text, read):
    assert buys(text) == read


def test_words_of_an_amount_are_those_of_its_own_sentence():
    read = read_instructions("Backing: 4 yds. Binding: 5/8 yd.")
    assert [one.text for one in read.buys] == ["Backing: 4 yds", "Binding: 5/8 yd"]


def test_cloth_that_leaves_a_word_out_is_held_against_what_is_bought():
    assert "is bought" in doubts('1/4 yard white solid\nWhite:\nCut 72 squares 5"')


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('Red: 4 squares 3"\nMake 10 of each block.', "is said; counted once"),
        ('Oat print: Cut 20 squares 3" red', "red stands beside it"),
        ('Red: 12 squares 5 1/4", HST', "meant for triangles"),
        ('Red: 4 squares 3" (6)', "4 are cut, 6 in all are said"),
        ('A - Cut 8 squares 4"\nRed: 2 squares 3"', '"8 squares 4"": no cloth is named there'),
        ('Cut 99999999999 squares 3"', "may have been misread"),
        ('Cut 5 squares 4000"', "larger than cloth is woven"),
    ],
)
def test_what_is_only_guessed_is_marked(text, told):
    assert told in doubts(text)
