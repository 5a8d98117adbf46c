"""``calicount reserve``, ``sewn`` and ``return`` as a person types them."""

import pytest

from cli.corrections.reserving import numbers_in, once


def states(found):
    return {one["square"]: one["state"] for one in found["squares"]}


def test_squares_are_set_aside_sewn_and_returned(kept, told, squares):
    before = squares()
    ended = kept("reserve", "blues", "table runner", "--squares", "R1C1+R1C2", "--squares", "R1C3")
    assert ended.exit_code == 0, ended.output
    assert "R1C1 + R1C2 and R1C3 set aside for table runner" in ended.stdout
    assert squares()["R1C1"]["state"] == "reserved for table runner"
    assert {one["bundle"]: one for one in told("bundles")["bundles"]}["blues"]["free"] == 21
    found = told("sewn", "blues", "Table Runner", "R1C2")
    assert states(found) == {"R1C2": "sewn for table runner"}
    assert squares()["R1C1"]["state"] == "sewn for table runner"
    assert squares()["R1C3"]["state"] == "reserved for table runner"
    told("return", "blues", "table runner")
    assert squares()["R1C3"]["free"]
    assert squares()["R1C1"]["state"] == "sewn for table runner"
    told("return", "blues", "table runner", "R1C1")
    assert squares() == before


def test_sewn_can_be_taken_back_without_giving_the_squares_back(kept, squares):
    kept("reserve", "blues", "bag", "--squares", "R1C1+R1C2")
    kept("sewn", "blues", "bag")
    kept("sewn", "blues", "bag", "--off")
    assert squares()["R1C1"]["state"] == "reserved for bag"


def test_sets_are_set_aside_by_their_numbers_in_the_last_count(kept, told):
    counted = told("count", "blues", "--out", "one")
    sets = {one["set"]: sorted(one["swatches"]) for one in counted["sets"]}
    found = told("reserve", "blues", "bag", "--sets", "1,3-4")
    chosen = sorted(states(found))
    assert chosen == sorted(sets[1] + sets[3] + sets[4])
    shown = told("show", "blues")
    assert [sorted(one["squares"]) for one in shown["projects"][0]["sets"]] == [
        sets[1],
        sets[3],
        sets[4],
    ]


def test_counts_take_it_into_account(kept, told):
    counted = told("count", "blues", "--out", "one")
    (line,) = counted["tally"]["lines"]
    kept("reserve", "blues", "bag", "--sets", "1-2")
    after = told("count", "blues", "--out", "two")
    used = {label for one in counted["sets"][:2] for label in one["swatches"]}
    assert not used & {one["swatch"] for one in after["swatches"]}
    assert len(after["swatches"]) == 24 - 4
    assert after["tally"]["lines"][0]["on_hand"] < line["on_hand"]
    assert len(after["bundle"]["not_free"]) == 4
    said = kept("count", "blues", "--out", "three").stdout
    assert "blues, without 4 squares reserved for bag." in said


def test_sets_whose_squares_are_gone_can_t_be_had(kept, refused, told):
    counted = told("count", "blues", "--out", "one")
    label = counted["sets"][0]["swatches"][0]
    kept("square", "mark", "blues", "damaged", label)
    refused(
        "reserve",
        "blues",
        "bag",
        "--sets",
        "1",
        says=[f"set 1 can't be had any more: {label} is damaged", "calicount count blues"],
    )


def test_a_pattern_sets_aside_what_serves_it_and_says_what_is_short(kept, told):
    kept("set", "lock", "blues", "R1C1", "R2C2", "R3C3")  # of a size that no pinwheel asks for
    ended = kept("reserve", "blues", "quilt", "--pattern", "pinwheel")
    assert ended.exit_code == 3, ended.output
    assert "short; what there is of it has been set aside." in ended.stderr
    shown = told("show", "blues")
    (project,) = shown["projects"]
    assert project["pattern"] == "pinwheel"
    assert all(len(one["squares"]) == 2 for one in project["sets"])
    assert sum(one["state"] == "reserved for quilt" for one in shown["squares"]) == 2 * len(
        project["sets"]
    )


def test_a_lock_whose_set_went_to_a_project_whole_is_no_broken_promise(kept, told):
    kept("set", "lock", "blues", "R1C1", "R1C2")
    found = told("reserve", "blues", "bag", "--squares", "R1C1+R1C2")
    assert found["notes"] == []


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["reserve", "blues", "bag"], "one of --pattern, --sets and --squares"),
        (["reserve", "blues", "bag", "--sets", "1", "--squares", "R1C1"], "leave the others out"),
        (["reserve", "blues", "bag", "--sets", "1"], "blues has not been counted yet"),
        (["reserve", "blues", "bag", "--sets", "one"], "'one' is no number of a set"),
        (["reserve", "blues", " ", "--squares", "R1C1"], "a project without a name"),
        (["reserve", "blues", "bag", "--squares", "R1C1+R9C9"], "R9C9"),
        (["reserve", "blues", "bag", "--squares", "R1C1", "--squares", "r1c1"], "named twice"),
        (["reserve", "blues", "bag", "--pattern", "pinwhel"], "pinwheel"),
        (["sewn", "blues", "bag"], "nothing of blues is set aside"),
        (["return", "blues", "bag"], "nothing of blues is set aside"),
    ],
)
def test_what_can_t_be_meant(refused, words, says):
    refused(*words, says=says)


def test_projects_and_squares_that_don_t_go_together(kept, refused):
    kept("reserve", "blues", "bag", "--squares", "R1C1+R1C2")
    refused("reserve", "blues", "hat", "--squares", "R1C1", says="reserved for bag")
    refused("sewn", "blues", "hat", says="there is something for bag")
    refused("sewn", "blues", "bag", "R2C2", says="R2C2 is not set aside for bag")
    kept("sewn", "blues", "bag")
    refused("return", "blues", "bag", says="all that bag has of blues is sewn")


def test_a_number_that_the_last_count_has_not(kept, refused):
    kept("count", "blues", "--sets", "2", "--out", "x")
    refused("reserve", "blues", "bag", "--sets", "9", says="the last count of blues has no set 9")


@pytest.mark.parametrize(
    ("text", "numbers"),
    [("1,2,5", [1, 2, 5]), ("3-5", [3, 4, 5]), ("2, 1-3 2", [2, 1, 3]), ("7,", [7])],
)
def test_numbers_of_sets(text, numbers):
    assert numbers_in(text) == numbers


def test_a_square_of_several_sets_is_set_aside_once_and_whole():
    assert once([(1, 2), (1, 2), (3, 3), (2, 4)]) == ((1, 2), (3,), (4,))
