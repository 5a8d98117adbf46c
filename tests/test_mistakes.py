"""Typing mistakes, each told in one sentence that says what to do."""

import pytest
import typer

from cli.usage_errors import in_a_sentence


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["cuont"], ["no command 'cuont'", "perhaps you mean count", "calicount --help"]),
        (["set", "lokc"], ["calicount set has no command 'lokc'", "lock", "calicount set --help"]),
        (["add"], ["BUNDLE is missing", "calicount add --help"]),
        (["add", "blues"], ["PHOTO... is missing", "calicount add --help"]),
        (["count", "x.jpg", "--sqare", "5"], ["no option --sqare", "--square"]),
        (["add", "blues", "-dash.jpg"], ["no option -d", "goes after --"]),
        (["near", "teal", "--number", "0"], ["--number takes 1 or more"]),
        (["undo", "blues", "first"], ["NUMBER takes a whole number"]),
        (["rules", "blues", "--tolerance", "few"], ["--tolerance takes a number"]),
        (["count", "x.jpg", "--square"], ["--square needs something after it"]),
        (["show", "winter", "blues"], ["'blues' is too much", "goes in quotes"]),
        (["square", "mark", "blues", "torn", "R1C1"], ["MARK 'torn' is not one of", "damaged"]),
        (["--colour"], ["calicount has no option --colour", "calicount --help"]),
    ],
)
def test_each_mistake_is_told_in_one_sentence(refused, words, says):
    refused(*words, says=says)


def test_what_is_no_typing_mistake_is_left_to_others():
    assert in_a_sentence(ValueError("no")) is None
    assert in_a_sentence(typer.Exit(2)) is None
