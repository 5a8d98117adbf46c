"""``calicount undo``, ``redo`` and ``history`` as a person types them."""

import re

import pytest


def test_history_numbers_what_was_said(kept, told):
    kept("square", "call", "blues", "R1C1", "apron")
    kept("square", "mark", "blues", "damaged", "R1C2")
    kept("undo", "blues", "1")
    said = kept("history", "blues").stdout
    assert re.search(r"^\S+ \S+  bundle.jpg added$", said, re.MULTILINE)
    assert re.search(r"^\S+ \S+  1\. R1C1 .*apron.* \(taken back\)$", said, re.MULTILINE)
    assert re.search(r"^\S+ \S+  2\. R1C2 is damaged$", said, re.MULTILINE)
    found = told("history", "blues")["history"]
    assert [(one["number"], one["undone"]) for one in found] == [(1, True), (2, False)]


def test_what_the_photo_said_stands_beside_what_a_person_said(kept, told, squares):
    was = squares()["R1C1"]["corners"]
    (x, y), *rest = was
    moved = " ".join(f"{p},{q}" for p, q in [(x + 2, y + 2), *rest])
    kept("square", "corners", "blues", "R1C1", moved)
    kept("square", "place", "blues", "R1C1", "R9C9")
    said = kept("history", "blues").stdout
    photo_said = re.search(r"\(the photo said (\d+),(\d+) ", said)
    # the swatches tell tenths: rounded once more, a half may go either way
    assert [int(value) for value in photo_said.groups()] == pytest.approx([x, y], abs=0.56)
    assert "R9C9 put in row 9, column 9 (the photo said row 1, column 1)" in said
    for one in told("history", "blues")["history"]:
        (about,) = one["squares"]
        assert about["square"] == "R9C9"
        assert about["photo_said"]["square"] == "R1C1"
        assert about["photo_said"]["corners"] == was


def test_history_of_one_square(kept, told):
    kept("square", "call", "blues", "R1C1", "apron")
    kept("set", "lock", "blues", "R1C1", "R2C2")
    kept("square", "call", "blues", "R3C3", "other")
    found = told("history", "blues", "--square", "R2C2")["history"]
    assert [one["number"] for one in found] == [2]


def test_nothing_said_yet(kept):
    assert "Nothing was said of blues since." in kept("history", "blues").stdout


def test_undo_and_redo_go_back_and_forth(kept, squares):
    states = [squares()]
    for words in (
        ["square", "isnt", "blues", "R1C1"],
        ["square", "missed", "blues", "--place", "R1C1"],
        ["square", "call", "blues", "R1C1", "apron"],
    ):
        assert kept(*words).exit_code == 0
        states.append(squares())
    for state in reversed(states[:-1]):
        ended = kept("undo", "blues")
        assert ended.exit_code == 0, ended.output
        assert "taken back" in ended.stdout
        assert squares() == state
    for state in states[1:]:
        ended = kept("redo", "blues")
        assert "holds again" in ended.stdout
        assert squares() == state


def test_one_of_several_is_undone_by_its_number(kept, squares):
    kept("square", "call", "blues", "R1C1", "first")
    kept("square", "call", "blues", "R1C2", "second")
    ended = kept("undo", "blues", "1")
    assert "blues, taken back: 1. R1C1 " in ended.stdout
    found = squares()
    assert (found["R1C1"]["name"], found["R1C2"]["name"]) == ("", "second")
    kept("redo", "blues", "1")
    assert squares()["R1C1"]["name"] == "first"


def test_undo_tells_json_and_quiet(kept, told):
    kept("square", "call", "blues", "R1C1", "first")
    found = told("undo", "blues")
    assert [one["number"] for one in found["done"]] == [1]
    assert found["squares"][0]["name"] == ""
    assert kept("redo", "blues", "--quiet").output == ""


def test_what_one_command_said_is_undone_and_redone_as_a_whole(kept, told):
    kept("light", "both halves", "--ground", "wood")
    ended = kept("undo", "both halves")
    assert ended.stdout.count("taken back") == 2
    assert "calicount redo" in ended.stdout
    assert all(one["undone"] for one in told("history", "both halves")["history"])
    assert kept("redo", "both halves").stdout.count("holds again") == 2
    assert not any(one["undone"] for one in told("history", "both halves")["history"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["undo", "blues"], "there is nothing to undo in blues"),
        (["redo", "blues"], "there is nothing to do again in blues"),
        (["undo", "blues", "4"], "the history of blues has no number 4"),
        (["redo", "blues", "4"], "the history of blues has no number 4"),
    ],
)
def test_nothing_to_undo(refused, words, says):
    refused(*words, says=[says, "calicount history blues"])
