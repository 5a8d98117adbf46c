"""Sets through the page's server."""

from __future__ import annotations

import pytest

from catalog.bundle.square_differences import seen_lightness
from catalog.bundle.tally_notes import DIFFERENCE_STEPS, words_for_difference
from catalog.colour.ciede2000 import threshold_scale


@pytest.fixture
def view(page):
    return page.bundle()


def sets_of(page, view):
    told = page.get(f"bundle/{view['id']}/sets")
    assert told["version"] == page.get(f"bundle/{view['id']}")["version"]
    return told


def pairs(told):
    return {frozenset(one["squares"]) for one in told["sets"]}


def test_the_sets_use_every_square_once_darkest_first(shown):
    view = shown.bundle()
    told = sets_of(shown, view)
    kept = shown.state.kept(view["id"])
    lightness = {kept.by_label[one.label].id: seen_lightness(one, "wall") for one in kept.swatches}
    used = [n for one in told["sets"] for n in one["squares"]]
    assert sorted(used + [one["square"] for one in told["unused"]]) == sorted(lightness)
    for one in told["sets"]:
        dark, light = (lightness[n] for n in one["squares"])
        assert dark <= light
        assert one["value_step"] == pytest.approx(light - dark, abs=0.06)
        assert one["words"]
        assert one["brief"] in {"alike", "near", "small step", "a step", "different"}
    assert [one["number"] for one in told["sets"]] == list(range(1, 13))
    assert told["summary"][0].startswith("12 sets made")


def test_doubts_are_told_when_asked_for_and_change_no_set(shown):
    view = shown.bundle()
    plain = sets_of(shown, view)
    doubts = shown.get(f"bundle/{view['id']}/sets", doubts=1)
    assert pairs(plain) == pairs(doubts)
    flags = [set(two["flags"]) - set(one["flags"]) for one, two in zip(
        plain["sets"], doubts["sets"], strict=True)]  # fmt: skip
    assert set().union(*flags) <= {"could change"}


def test_a_locked_set_stays_and_a_forbidden_one_is_gone(page, view):
    before = sets_of(page, view)
    one, two = (entry["squares"] for entry in before["sets"][:2])
    view = page.do(view, {"kind": "lock", "sets": [[one[0], two[0]]]})
    told = sets_of(page, view)
    locked = [entry for entry in told["sets"] if entry["locked"]]
    assert [set(entry["squares"]) for entry in locked] == [{one[0], two[0]}]
    view = page.do(view, {"kind": "unlock", "squares": [one[0]]})
    assert pairs(sets_of(page, view)) == pairs(told)
    view = page.do(view, {"kind": "choose anew"})
    assert pairs(sets_of(page, view)) == pairs(before)
    view = page.do(view, {"kind": "take apart", "squares": one})
    assert frozenset(one) not in pairs(sets_of(page, view))
    assert view["forbidden"] == [sorted(one)]
    view = page.do(view, {"kind": "allow", "pairs": [one]})
    assert pairs(sets_of(page, view)) == pairs(before)


def test_a_square_dragged_onto_another_set_changes_places_with_one(page, view):
    told = sets_of(page, view)
    first, second = (entry["squares"] for entry in told["sets"][:2])
    view = page.do(
        view,
        {"kind": "swap", "first": first, "second": second, "a": first[0], "b": second[1]},
    )
    now = pairs(sets_of(page, view))
    assert frozenset((second[1], first[1])) in now
    assert frozenset((second[0], first[0])) in now


def test_rules_change_what_is_asked_for_and_nothing_else(page, view):
    view = page.do(view, {"kind": "rules", "least_step": 8})
    view = page.do(view, {"kind": "rules", "tolerance": 12.5})
    assert view["rules"]["least_step"] == 8
    assert view["rules"]["tolerance"] == 12.5
    assert all(entry["value_step"] >= 8 for entry in sets_of(page, view)["sets"])
    view = page.do(view, {"kind": "rules", "tolerance": None, "least_step": 0, "set_size": 3})
    assert view["rules"]["tolerance"] is None
    assert {len(entry["squares"]) for entry in sets_of(page, view)["sets"]} == {3}


def test_a_lock_waits_while_sets_are_of_another_size(page, view):
    told = sets_of(page, view)
    lock = told["sets"][3]["squares"]
    view = page.do(view, {"kind": "lock", "sets": [lock]})
    view = page.do(view, {"kind": "rules", "set_size": 3})
    assert any(
        "another size than those asked for wait" in line for line in sets_of(page, view)["summary"]
    )
    view = page.do(view, {"kind": "rules", "set_size": 2})
    again = [set(one["squares"]) for one in sets_of(page, view)["sets"] if one["locked"]]
    assert again == [set(lock)]


def test_what_is_held_back_or_spoilt_is_in_no_set(page, view):
    ids = [one["id"] for one in view["squares"][:3]]
    view = page.do(
        view,
        {"kind": "mark", "squares": ids[:1], "mark": "damaged", "on": True},
        {"kind": "mark", "squares": ids[1:], "mark": "held back", "on": True},
    )
    told = sets_of(page, view)
    assert not set(ids) & {n for one in told["sets"] for n in one["squares"]}
    why = {one["square"]: one["why"] for one in told["unused"]}
    assert (why[ids[1]], why[ids[2]]) == ("held back", "held back")
    page.refused(view, {"kind": "lock", "sets": [ids[1:]]}, says="R1C2 is held back")
    (lonely,) = set(why) - set(ids)
    assert "no square is left" in why[lonely]


def test_others_come_nearest_first_and_name_the_set_they_are_in(page, view):
    told = sets_of(page, view)
    one = told["sets"][0]["squares"]
    lists = page.get(f"bundle/{view['id']}/others", set=",".join(map(str, one)))
    assert [entry["for"] for entry in lists] == one
    number = {n: entry["number"] for entry in told["sets"] for n in entry["squares"]}
    for entry in lists:
        away = [other["difference"] for other in entry["others"]]
        assert len(away) == 8
        assert away == sorted(away)
        assert all(bool(one["warning"]) == (one["difference"] > 5) for one in entry["others"])
        assert not set(one) & {other["square"] for other in entry["others"]}
        assert all(other["in_set"] == number[other["square"]] for other in entry["others"])
    barred = lists[0]["others"][0]["square"]
    view = page.do(view, {"kind": "forbid", "pairs": [[one[0], barred]]})
    again = page.get(f"bundle/{view['id']}/others", set=str(one[0]))
    assert barred not in {other["square"] for other in again[0]["others"]}


def test_squares_are_found_by_a_colour_in_words(shown):
    view = shown.bundle()
    where = f"bundle/{view['id']}/find"
    told = shown.get(where, words="Blue Print")
    assert (told["colour"], told["rest"]) == ("blue", ["print"])
    names = {one["id"]: f"{one['colour_name']} {one['shares']}" for one in view["squares"]}
    called = {square for square, words in names.items() if "blue" in words.split()}
    assert called
    assert called <= set(told["squares"]) < set(names)
    assert shown.get(where, words="R2C3") == {"colour": "", "rest": ["r2c3"], "squares": []}
    assert shown.get(where)["squares"] == []


@pytest.mark.parametrize("wanted", ["", "x", "999999", "1,,", "-1", "9" * 30])
def test_others_of_no_set_are_refused(shown, wanted):
    view = shown.bundle()
    if wanted == "1,,":
        wanted = f"{view['squares'][0]['id']},999999"
    told = shown.get(f"bundle/{view['id']}/others", code=400, set=wanted)
    assert "not there any more" in told["problem"]


def test_projects_take_squares_out_of_the_sets_and_give_them_back(page, view):
    told = sets_of(page, view)
    chosen = [entry["squares"] for entry in told["sets"][:2]]
    view = page.do(
        view, {"kind": "reserve", "project": "table runner", "sets": chosen, "pattern": "pinwheel"}
    )
    (project,) = view["projects"]
    assert project["name"] == "table runner"
    assert [one["squares"] for one in project["sets"]] == chosen
    assert len(sets_of(page, view)["sets"]) == 10
    page.refused(
        view, {"kind": "reserve", "project": "x", "sets": chosen}, says="reserved for table runner"
    )
    view = page.do(
        view, {"kind": "stage", "project": "table runner", "squares": chosen[0], "stage": "sewn"}
    )
    state = {one["id"]: one["state"] for one in view["squares"]}
    assert state[chosen[0][0]] == "sewn for table runner"
    view = page.do(view, {"kind": "returned", "project": "table runner", "squares": chosen[1]})
    assert len(sets_of(page, view)["sets"]) == 11


def test_a_bundle_without_a_free_square_still_answers(page, view):
    ids = [one["id"] for one in view["squares"]]
    view = page.do(view, {"kind": "mark", "squares": ids, "mark": "cut", "on": True})
    told = sets_of(page, view)
    assert (told["sets"], told["unused"]) == ([], [])
    assert page.post(f"bundle/{view['id']}/plan", {"pattern": "pinwheel"})["wall"] is None


def test_words_and_the_usual_tolerance_follow_the_weight_of_lightness(page, view):
    usual = view["defaults"]["tolerance"]
    view = page.do(view, {"kind": "rules", "lightness_weight": 2})
    assert view["defaults"]["tolerance"] == round(usual * threshold_scale(2.0), 1) < usual
    found = page.get(f"bundle/{view['id']}/sets")["sets"]
    others = page.get(f"bundle/{view['id']}/others", set=",".join(map(str, found[0]["squares"])))
    told = [*found, *(other for one in others for other in one["others"])]
    steps = [limit * threshold_scale(2.0) for limit, _ in DIFFERENCE_STEPS]
    certain = [one for one in told if all(abs(one["difference"] - step) > 0.05 for step in steps)]
    assert certain
    for one in certain:
        assert one["words"] == words_for_difference(one["difference"], 2.0)


def test_what_a_project_has_is_not_left_over_because_it_is_held_back_too(page, view):
    (first, *_) = sets_of(page, view)["sets"]
    view = page.do(
        view,
        {"kind": "reserve", "project": "Runner", "sets": [first["squares"]]},
        {"kind": "mark", "squares": first["squares"], "mark": "held back", "on": True},
    )
    left = {one["square"] for one in sets_of(page, view)["unused"]}
    assert not left & set(first["squares"])
