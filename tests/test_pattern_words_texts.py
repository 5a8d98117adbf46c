"""Whole instructions: texts by someone who hadn't seen the grammar, and published numbers."""

import json
from pathlib import Path

import pytest
from bench import pattern_words

from catalog.pattern.words.instruction_reading import read_instructions

TEXTS = Path(__file__).parent / "pattern_words"
PUBLISHED = json.loads((TEXTS / "published.json").read_text(encoding="utf-8"))["instructions"]


def test_texts_that_the_grammar_was_mended_on_are_read_right():
    total, mistakes = pattern_words.scored(TEXTS / "dev")
    assert total["texts"] == 40
    assert (total["missed"], total["extra"], total["buys_missed"], total["buys_extra"]) == (
        0, 0, 0, 0,
    ), mistakes  # fmt: skip
    assert total["wrong_told"] == total["wrong"] == 10
    assert total["doubted_in_vain"] == 0


def test_texts_that_were_first_only_counted_are_read_no_worse():
    """Their figures, those before anyone looked at them too, stand in the room's README."""
    total, _ = pattern_words.scored(TEXTS / "held")
    assert total["pieces"] / (total["pieces"] + total["missed"]) >= LEAST_RECALL
    assert total["pieces"] / (total["pieces"] + total["extra"]) >= LEAST_PRECISION


LEAST_RECALL, LEAST_PRECISION = 0.96, 0.97


@pytest.mark.parametrize("one", PUBLISHED, ids=[one["source"] for one in PUBLISHED])
def test_published_numbers_are_read(one):
    read = read_instructions(one["text"])
    found = [
        [piece.cloth, piece.shape, piece.count, round(float(piece.width), 4),
         piece.length and round(float(piece.length), 4), piece.diagonal_cuts]
        for piece in read.pieces
    ]  # fmt: skip
    assert found == one["pieces"]
    assert [buy.cloth for buy in read.buys] == [cloth for cloth, _ in one["buys"]]
    assert [float(buy.yards) for buy in read.buys] == pytest.approx(
        [yards for _, yards in one["buys"]], abs=1e-3
    )
    assert (read.unread, read.doubts) == ((), ())
