"""``calicount square`` as a person types it."""

import math

import pytest


def test_what_is_no_square_goes_and_can_come_back(kept, squares):
    before = squares()
    ended = kept("square", "isnt", "blues", "R2C3", "r2c4")
    assert ended.exit_code == 0, ended.output
    assert ended.stdout.splitlines() == [
        "blues: R2C3 and R2C4 are no squares.",
        "  calicount undo blues takes it back.",
    ]
    assert squares().keys() == before.keys() - {"R2C3", "R2C4"}
    assert "Out of the bundle (not a square): R2C3, R2C4." in kept("show", "blues").stdout
    assert kept("undo", "blues").exit_code == 0
    assert squares() == before


def test_a_square_that_is_out_is_told_why(kept, refused):
    kept("square", "isnt", "blues", "R2C3")
    refused("square", "call", "blues", "R2C3", "x", says="R2C3 is out of blues (not a square)")


def test_json_tells_what_was_done(told):
    found = told("square", "mark", "blues", "wrong-side", "R1C1")
    assert found["bundle"] == "blues"
    assert found["done"][0]["words"] == "R1C1 is wrong side up"
    (one,) = found["squares"]
    assert (one["square"], one["marks"], one["free"]) == ("R1C1", ["wrong side"], False)


def test_quiet_says_nothing(kept, squares):
    ended = kept("square", "call", "blues", "R1C1", "apron", "--quiet")
    assert (ended.exit_code, ended.stdout, ended.stderr) == (0, "", "")
    assert squares()["R1C1"]["name"] == "apron"


def test_a_missed_square_by_its_place_lies_where_it_was(kept, told, squares):
    was = squares()["R2C3"]
    kept("square", "isnt", "blues", "R2C3")
    found = told("square", "missed", "blues", "--place", "R2C3")
    (one,) = found["squares"]
    assert (one["square"], one["drawn"]) == ("R2C3", True)
    far = [
        abs(a - b)
        for p, q in zip(one["corners"], was["corners"], strict=True)
        for a, b in zip(p, q, strict=True)
    ]
    side = was["corners"][1][0] - was["corners"][0][0]
    assert max(far) < 0.15 * side
    assert one["family"] == was["family"]


def test_a_missed_square_by_its_corners_finds_its_place(told, squares):
    was = squares()["R3C4"]
    told("square", "isnt", "blues", "R3C4")
    named = " ".join(f"{x},{y}" for x, y in was["corners"])
    (one,) = told("square", "missed", "blues", "--corners", named)["squares"]
    assert (one["square"], one["row"], one["col"]) == ("R3C4", 3, 4)
    assert one["corners"] == [pytest.approx(corner, abs=0.02) for corner in was["corners"]]


def test_the_photo_of_a_row_needs_no_naming(kept, told, squares):
    kept("square", "isnt", "both halves", "R5C1")
    (one,) = told("square", "missed", "both halves", "--place", "R5C1")["squares"]
    assert one["photo"] == 2


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["blues"], "--place R3C4"),
        (["blues", "--place", "R1C1"], "R1C1 is a square of blues already"),
        (["blues", "--place", "R40C1"], "R40C1 lies outside bundle.jpg"),
        (["blues", "--place", "there"], "'there' is no row and column"),
        (["blues", "--corners", "1,1 2,2"], "has 2 corners"),
        (["blues", "--place", "R5C1", "--photo", "7"], "blues has no photo 7"),
        (["both halves", "--place", "R99C1"], "say which with --photo"),
    ],
)
def test_a_missed_square_that_can_t_be_meant(refused, words, says):
    refused("square", "missed", *words, says=says)


def shifted(corners, by, times=1.0):
    """Corners moved to the right by so many of their sides, and made so many times as large."""
    middle = [sum(values) / 4 for values in zip(*corners, strict=True)]
    side = math.dist(*corners[:2])
    moved = [
        (m + times * (x - m) + step)
        for x_y in corners
        for x, m, step in zip(x_y, middle, (by * side, 0.0), strict=True)
    ]
    return " ".join(f"{x},{y}" for x, y in zip(moved[::2], moved[1::2], strict=True))


@pytest.mark.parametrize(
    ("by", "times", "says"),
    [(1.0, 1.0, "more than half its side"), (0.0, 0.4, "would go from")],
)
def test_corners_far_from_the_square_are_taken_only_if_insisted(
    by, times, says, kept, refused, squares
):
    corners = shifted(squares()["R2C2"]["corners"], by, times)
    refused("square", "corners", "blues", "R2C2", corners, says=[says, "R2C2", "--yes"])
    assert kept("square", "corners", "blues", "R2C2", corners, "--yes").exit_code == 0


def test_corners_near_the_square_are_taken_at_once(kept, squares):
    corners = shifted(squares()["R2C2"]["corners"], 0.3, 0.8)
    assert kept("square", "corners", "blues", "R2C2", corners).exit_code == 0


def test_corners_that_lie_elsewhere_are_measured_again(kept, told, squares):
    before = squares()
    (left, top), (right, _), (_, low), _ = before["R1C1"]["corners"]
    middle = f"{left},{top} {(left + right) / 2},{top} {(left + right) / 2},{low} {left},{low}"
    (one,) = told("square", "corners", "blues", "R1C1", middle)["squares"]
    assert one["moved"]
    assert one["corners"] != before["R1C1"]["corners"]
    after = squares()
    others = before.keys() - {"R1C1"}
    assert [after[label]["lab"] for label in others] == [before[label]["lab"] for label in others]
    kept("undo", "blues")
    assert squares() == before


def test_a_square_put_in_another_place_changes_places(told, squares):
    before = squares()
    told("square", "place", "blues", "R1C1", "R1C2")
    after = squares()
    assert after["R1C2"]["corners"] == before["R1C1"]["corners"]
    assert after["R1C1"]["corners"] == before["R1C2"]["corners"]


def test_a_name_is_given_and_taken_away(kept, squares):
    kept("square", "call", "blues", "R1C1", "[b]apron[/b]")
    assert squares()["R1C1"]["name"] == "[b]apron[/b]"
    assert "[b]apron[/b]" in kept("show", "blues").stdout
    kept("square", "call", "blues", "R1C1", "")
    assert squares()["R1C1"]["name"] == ""


def test_what_squares_are_for(kept, squares):
    kept("square", "for", "blues", "background", "R1C1", "R1C2")
    kept("square", "for", "blues", "either", "R1C2")
    found = squares()
    assert [found[label]["for"] for label in ("R1C1", "R1C2")] == ["background", "either"]


@pytest.mark.parametrize("mark", ["damaged", "wrong-side", "held-back", "cut"])
def test_marks_go_on_and_off(kept, squares, mark):
    kept("square", "mark", "blues", mark, "R1C1")
    assert squares()["R1C1"]["marks"] == [mark.replace("-", " ")]
    kept("square", "mark", "blues", mark, "R1C1", "--off")
    assert squares()["R1C1"]["free"]


def test_one_piece_in_two_photos_counts_once(kept, refused, squares):
    before = squares("both halves")
    ended = kept("square", "same", "both halves", "R1C3", "R5C1")
    assert "R1C3 and R5C1 are one piece of cloth" in ended.stdout
    assert squares("both halves").keys() == before.keys() - {"R5C1"}
    refused("square", "call", "both halves", "R5C1", "x", says="the same piece of cloth as R1C3")


def test_all_pairs_that_look_like_one_piece_are_joined(kept, refused, squares):
    before = squares("both halves")
    ended = kept("square", "same", "both halves", "--all")
    assert ended.exit_code == 0, ended.output
    joined = ended.stdout.count("are one piece of cloth")
    assert joined >= 6
    assert len(squares("both halves")) == len(before) - joined
    refused("square", "same", "both halves", "--all", says="no two squares of both halves")
    refused("square", "same", "both halves", "R1C1", says="two squares, or --all")
    refused("square", "same", "both halves", "R1C1", "R1C2", "--all", says="two squares, or --all")


def test_two_squares_of_one_photo_are_two_pieces(refused):
    refused("square", "same", "both halves", "R1C1", "R1C2", says="lie in one photo")


@pytest.mark.parametrize(
    "words",
    [
        ["square", "isnt", "blues", "R9C9"],
        ["square", "corners", "blues", "R9C9", "1,1 9,1 9,9 1,9"],
        ["square", "place", "blues", "R9C9", "R1C1"],
        ["square", "call", "blues", "R9C9", "x"],
        ["square", "for", "blues", "feature", "R9C9"],
        ["square", "mark", "blues", "cut", "R9C9"],
        ["square", "same", "blues", "R9C9", "R1C1"],
        ["fabric", "one", "blues", "R9C9", "R1C1"],
        ["fabric", "own", "blues", "R9C9"],
        ["light", "blues", "--white", "R9C9"],
        ["set", "lock", "blues", "R9C9", "R1C1"],
        ["set", "swap", "blues", "R9C9", "R1C1"],
        ["set", "apart", "blues", "R9C9"],
        ["reserve", "blues", "runner", "--squares", "R9C9"],
    ],
)
def test_labels_that_don_t_exist_are_named(refused, words):
    refused(*words, says=["R9C9", "calicount show blues lists its squares"])


@pytest.mark.parametrize(
    "words",
    [
        ["show", "blue"],
        ["square", "isnt", "blue", "R1C1"],
        ["undo", "blue"],
        ["history", "blue"],
        ["rules", "blue"],
        ["report", "blue"],
        ["remove", "blue"],
    ],
)
def test_a_bundle_that_is_not_kept_is_named_with_what_comes_near(refused, words):
    refused(*words, says=["no bundle is called 'blue'", "perhaps you mean blues"])


def test_a_mark_that_is_none_is_refused_by_its_choices(kept):
    ended = kept("square", "mark", "blues", "spoilt", "R1C1")
    assert ended.exit_code == 2
    assert "held-back" in ended.stderr


def test_what_is_so_already_is_said_and_not_kept(kept, told):
    kept("square", "mark", "blues", "damaged", "R1C1")
    for words in (
        ["square", "mark", "blues", "damaged", "R1C1"],
        ["square", "place", "blues", "R1C2", "R1C2"],
        ["square", "call", "blues", "R1C3", ""],
    ):
        assert "as it was already" in kept(*words).stdout
        assert told(*words)["done"] == []
    assert len(told("history", "blues")["history"]) == 1


def test_squares_that_change_labels_are_told_under_both(kept):
    ended = kept("square", "place", "blues", "R1C1", "R1C2")
    assert "blues: R1C1 put in row 1, column 2." in ended.stdout
    assert "What was R1C1 is R1C2 now." in ended.stdout
    assert "What was R1C2 is R1C1 now." in ended.stdout
    assert "What was R1C2 is R1C1 now." in kept("undo", "blues").stdout


def test_history_calls_a_square_that_is_out_as_the_photo_had_it(kept):
    kept("square", "isnt", "blues", "R2C3")
    kept("square", "missed", "blues", "--place", "R2C3")
    assert "1. R2C3 is no square" in kept("history", "blues").stdout
