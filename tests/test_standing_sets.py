"""Sets that were chosen stay, with their numbers, until better ones are asked for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from test_matching import plain, random_bundle

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.standing.set_changes import better_choice, paired
from catalog.matching import match_requests
from catalog.models import MatchRules, SetRequest

TEN = MatchRules(within=10.0)


def by_squares(matching):
    return {frozenset(one.swatches): one for one in matching.sets}


def labels(swatches):
    return frozenset(one.label for one in swatches)


@pytest.mark.parametrize("seed", range(4))
def test_standing_sets_stay_and_the_rest_is_the_best_that_there_is(seed):
    bundle = random_bundle(30, seed)
    first = plain(bundle, rules=TEN)
    counting = [one.swatches for one in first.sets if one.difference <= 10]
    worse = [(a[0], b[1]) for a, b in zip(counting[::2], counting[1::2], strict=False)]
    loose = replace(TEN, within=None)
    stand = plain(bundle, rules=replace(loose, standing=tuple(worse)))
    assert by_squares(stand).keys() >= set(map(frozenset, worse))
    rest = [one for one in bundle if one.label not in {s for pair in worse for s in pair}]
    alone = plain(rest, rules=loose)
    assert stand.bound == stand.total
    assert stand.total - alone.total == pytest.approx(
        sum(by_squares(stand)[frozenset(one)].difference for one in worse)
    )


def test_sets_too_far_apart_stay_until_a_number_is_asked_for():
    near, far = [(50, 0, 0), (52, 0, 0)], [(90, 0, 0), (20, 40, 0)]
    bundle = [
        replace(one, lab=tuple(map(float, lab)))
        for one, lab in zip(random_bundle(4, 0), [*near, *far], strict=True)
    ]
    a, b, c, d = (one.label for one in bundle)
    stand = ((a, c), (b, d))
    crossed = replace(TEN, standing=stand, standing_far=frozenset(stand))
    assert (
        by_squares(plain(bundle, rules=replace(TEN, standing=stand))).keys()
        == by_squares(plain(bundle, rules=TEN)).keys()
    )
    stay, better = {frozenset((a, c)), frozenset((b, d))}, {frozenset((a, b)), frozenset((c, d))}
    assert by_squares(plain(bundle, rules=crossed)).keys() == stay
    assert by_squares(plain(bundle, 2, rules=crossed)).keys() == better
    apart = replace(crossed, forbidden=((a, b),))
    assert by_squares(plain(bundle, 2, rules=apart)).keys() == stay


@pytest.mark.parametrize(
    "broken",
    [{"held_back": frozenset({"S001"})}, {"forbidden": (("S001", "S002"),)},
     {"locked": (("S001", "S003"),)}, {"least_value_step": 90.0}],
)  # fmt: skip
def test_a_standing_set_that_a_rule_forbids_is_no_set(broken):
    bundle = random_bundle(8, 1)
    rules = replace(MatchRules(), standing=(("S001", "S002"),), **broken)
    assert frozenset(("S001", "S002")) not in by_squares(plain(bundle, rules=rules))


def test_where_fewer_are_wanted_the_nearest_of_those_that_stand_have_the_places():
    bundle = random_bundle(20, 2)
    standing = plain(bundle).sets
    rules = MatchRules(standing=tuple(one.swatches for one in standing))
    three = plain(bundle, 3, rules=rules)
    nearest = sorted(standing, key=lambda one: one.difference)[:3]
    assert by_squares(three).keys() == {frozenset(one.swatches) for one in nearest}


def test_every_standing_set_that_can_serve_some_request_does():
    bundle = random_bundle(12, 3)
    names = [one.label for one in bundle]
    standing = tuple(zip(names[::2], names[1::2], strict=True))
    some = frozenset(names[:4])
    asked = [SetRequest("some", 2, 2, some), SetRequest("any", 4, 2, labels(bundle))]
    made = match_requests(bundle, asked, MatchRules(standing=standing))
    assert by_squares(made).keys() == set(map(frozenset, standing))
    assert {one.need for one in made.sets if some.issuperset(one.swatches)} == {"some"}


@pytest.fixture
def blues(kept_file):
    with Catalogue(kept_file) as catalogue:
        catalogue.stand(catalogue.bundle("blues"))
        yield catalogue


def sets_of(kept):
    """By number, the numbers of the squares of each set."""
    found = paired(kept)
    return {one.number: frozenset(found.squares_of(one)) for one in found.count.sets}


def loose(kept):
    """The squares in no set."""
    used = {n for squares in sets_of(kept).values() for n in squares}
    return {one.id for one in kept.by_label.values()} - used


def test_a_set_taken_apart_moves_no_other_set_nor_number(blues):
    before = sets_of(blues.bundle("blues"))
    assert list(before) == list(range(1, len(before) + 1))
    apart = say.SetTakenApart.of(tuple(before[3]))
    after = blues.do("blues", [apart])
    now = sets_of(after)
    assert {n: s for n, s in before.items() if n != 3}.items() <= now.items()
    assert all(n > len(before) for n in now.keys() - before.keys())
    assert sets_of(blues.undo("blues")) == before
    assert sets_of(blues.redo("blues")) == now


def test_asking_anew_keeps_the_numbers_of_what_stays_and_is_undone_whole(blues):
    (a, b), (c, d) = list(sets_of(blues.bundle("blues")).values())[:2]
    blues.do("blues", [say.LockedSets(((a, c), (b, d)))])
    apart = blues.do("blues", [say.UnlockedSets((a, b))])
    better = better_choice(paired(apart))
    anew = blues.do("blues", [say.SetsChosenAnew()])
    asked = sets_of(anew)
    assert better is not None
    assert {one.number for one in better.new} == asked.keys() - sets_of(apart).keys()
    assert not loose(anew)
    stay = {s: n for n, s in sets_of(apart).items()}
    assert all(stay[s] == n for n, s in asked.items() if s in stay)
    assert better_choice(paired(anew)) is None
    assert sets_of(blues.undo("blues")) == sets_of(apart)
    one = sets_of(blues.do("blues", [say.SetsChosenAnew(from_one=True)]))
    assert list(one) == list(range(1, len(one) + 1))
    assert set(one.values()) == set(asked.values())


def test_a_number_is_never_given_twice_and_a_set_given_back_has_its_own(blues):
    before = sets_of(blues.bundle("blues"))
    number, squares = next(iter(before.items()))
    cut = sets_of(blues.do("blues", [say.MarkedSquares((min(squares),), "cut")]))
    assert number not in cut
    assert before.items() >= {n: s for n, s in cut.items() if n in before}.items()
    assert (
        sets_of(blues.do("blues", [say.MarkedSquares((min(squares),), "cut", on=False)])) == before
    )
    blues.do("blues", [say.ReservedSets.of("Runner", (tuple(before[2]),))])
    away = sets_of(blues.do("blues", [say.SetTakenApart.of(tuple(before[4]))]))
    assert not {2, 4} & away.keys()
    back = blues.do("blues", [say.ReturnedSets.of("Runner", tuple(before[2]))])
    assert sets_of(back)[2] == before[2]
    blues.undo("blues", 1)  # what was said first, whatever came after
    assert {n: s for n, s in sets_of(back).items() if n in before}.items() <= before.items()


def test_other_rules_pair_anew_and_old_ones_give_the_numbers_back(blues):
    before = sets_of(blues.bundle("blues"))
    threes = sets_of(blues.do("blues", [say.StandingRules(set_size=3)]))
    assert {len(one) for one in threes.values()} == {3}
    assert not threes.keys() & before.keys()
    assert sets_of(blues.undo("blues")) == before


def test_a_photo_more_pairs_its_squares_among_what_is_free(blues, two_halves, small_photo):
    from catalog.analysis import analyse_photo

    one, other = (path.read_bytes() for path in two_halves)
    added = blues.add("new", None, [(analyse_photo(one, "one.jpg", 5.0), one)])
    blues.stand(added.kept)
    before = sets_of(blues.bundle("new"))
    blues.add("new", None, [(analyse_photo(other, "other.jpg", 5.0), other)])
    after = sets_of(blues.bundle("new"))
    assert before.items() < after.items()


def test_the_command_says_before_it_is_done_what_it_would_change(kept, told):
    told("count", "blues", "--out", "first")
    would = told("set", "swap", "blues", "R1C1", "R1C2", "--look")
    assert would["version"] == told("show", "blues")["version"]
    assert len(would["gone"]) == len(would["new"]) == 2
    said = kept("set", "swap", "blues", "R1C1", "R1C2", "--look").stdout
    assert "nothing is done yet" in said
    assert "would be no more" in said
    told("set", "swap", "blues", "R1C1", "R1C2")
    now = {
        frozenset(one["swatches"]): one["set"]
        for one in told("count", "blues", "--out", "o")["sets"]
    }
    assert all(now[frozenset(one["swatches"])] == one["set"] for one in would["new"])
    look = kept("square", "call", "blues", "R1C1", "roses", "--look").stdout
    assert "Every set would stay as it is" in look


def test_sets_that_nobody_has_seen_are_left_open(kept_file):
    with Catalogue(kept_file) as catalogue:
        first = catalogue.bundle("blues")
        one = first.by_label["R1C1"].id
        marked = catalogue.do("blues", [say.MarkedSquares((one,), "cut")])
        assert not marked.choices
        assert list(sets_of(marked)) == list(range(1, len(sets_of(marked)) + 1))
        shown = catalogue.stand(marked)
        assert shown.version == marked.version
        assert sets_of(shown) == sets_of(marked)
        assert len(catalogue.undo("blues").choices) == 2


def test_an_archive_takes_the_standing_sets_along(blues, tmp_path):
    from catalog.catalogue.archive.archive_import import import_bundle
    from catalog.catalogue.archive.bundle_archive import export_bundle

    before = sets_of(blues.bundle("blues"))
    kept = blues.do("blues", [say.SetTakenApart.of(tuple(before[2]))])
    export_bundle(blues.connection, "blues", tmp_path / "b.zip")
    import_bundle(blues.connection, tmp_path / "b.zip", "other")

    def by_label(bundle):
        return {n: {bundle.label(s) for s in squares} for n, squares in sets_of(bundle).items()}

    assert by_label(blues.bundle("other")) == by_label(kept)
    assert 2 not in by_label(kept)


def test_the_page_tells_before_the_drop_what_a_swap_makes_and_marks_it_afterwards(page):
    view = page.bundle()
    here = f"bundle/{view['id']}"
    told = page.get(f"{here}/sets")
    one, other = told["sets"][0], told["sets"][1]
    swap = {"kind": "swap", "first": one["squares"], "second": other["squares"],
            "a": one["squares"][0], "b": other["squares"][0]}  # fmt: skip
    body = {"version": view["version"], "deeds": [swap], "better": True}
    would = page.post(f"{here}/preview", body)
    assert {each["number"] for each in would["breaks"]} == {1, 2}
    assert len(would["new"]) == 2
    assert would["worse"]
    assert "would be no more" in would["words"][0]
    assert would["better"] is None or would["better"]["words"]
    assert page.get(here)["version"] == view["version"]
    view = page.do(view, swap)
    now = page.get(f"{here}/sets")
    fresh = [each for each in now["sets"] if each["fresh"]]
    for key in ("number", "squares", "difference"):
        assert [each[key] for each in fresh] == [each[key] for each in would["new"]]
    assert now["changed"]["new"] == [each["number"] for each in fresh]
    assert {each["number"] for each in now["changed"]["gone"]} == {1, 2}
    assert "are no more" in now["changed"]["words"]
    page.post(f"{here}/preview", body, code=409)
    chosen = {"kind": "paired sets", "sets": [], "numbers": []}
    page.refused(view, chosen, says="can't be done")
    view = page.do(
        view, {"kind": "unlock", "squares": [each for s in fresh for each in s["squares"]]}
    )
    better = page.get(f"{here}/better")["better"]
    assert better["less"] > 0 or better["more"] > 0
    anew = page.post(
        f"{here}/preview", {"version": view["version"], "deeds": [{"kind": "choose anew"}]}
    )
    assert {each["number"] for each in anew["new"]} >= {1, 2}
    page.do(view, {"kind": "choose anew"})
    assert {1, 2} <= {each["number"] for each in page.get(f"{here}/sets")["sets"]}
    assert np.isfinite(anew["after"]["total"])
