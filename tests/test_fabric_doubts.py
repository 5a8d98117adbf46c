"""Fabrics that the photos can't tell: said of the fabric and of sets, and no square is marked."""

from dataclasses import replace

import numpy as np
import pytest
from drawn import looked_at, stand_in
from test_fabrics import bundle, plain

from catalog.bundle import fabrics
from catalog.bundle.fabric_doubts import fabric_doubt, fabric_doubts
from catalog.bundle.fabrics import MAY_BE, SEVERAL, of_fabric, surely_same, tell_fabrics
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.matching import match_requests
from catalog.models import MatchRules, SetRequest
from catalog.report.tables.csv_tables import joined_flags, look_again, sets_csv
from cli.bundles.show import bundle_lines

CREAM = np.array([0.75, 0.72, 0.6])


@pytest.fixture(scope="module")
def red_and_green():
    return tell_fabrics(bundle([plain((0.5, 0.1, 0.1)), plain((0.1, 0.4, 0.2))], each=3)[0])


@pytest.fixture(scope="module")
def creams():
    """Two plain creams, one a little lighter than the other, and a blue."""
    shades = [plain(CREAM), plain(CREAM / 1.2)]
    return tell_fabrics(bundle([*shades, plain((0.1, 0.2, 0.5))], each=3)[0])


def test_clear_fabrics_are_surely_one_or_two(red_and_green):
    assert not any(of_fabric(flag) for one in red_and_green for flag in one.flags)
    for one in red_and_green:
        for other in red_and_green:
            assert surely_same(one, other) is (one.fabric == other.fabric)
    assert fabric_doubts(red_and_green) == []


def test_creams_that_lie_nearer_than_can_be_told_are_said_once(creams):
    pale = [one for one in creams if one.lab[0] > 60]
    dark = [one for one in creams if one.lab[0] < 60]
    assert any(of_fabric(flag) for one in pale for flag in one.flags)
    assert None in {surely_same(a, b) for a in pale for b in pale if a is not b}
    assert {surely_same(a, b) for a in pale for b in dark} == {False}
    assert {surely_same(a, b) for a in dark for b in dark} == {True}
    assert 1 <= len(fabric_doubts(creams)) <= 2
    assert all(line.startswith("Can't tell") for line in fabric_doubts(creams))


def test_no_square_is_marked_for_its_fabric(creams):
    assert not any(look_again(one) for one in creams)
    assert any(joined_flags(one) for one in creams)


def test_telling_again_adds_nothing(creams):
    assert tell_fabrics(creams) == creams


def with_flags(swatches, *flags):
    return [replace(one, flags=flags) for one in swatches]


@pytest.mark.parametrize(
    ("flags", "words"),
    [
        ((), ""),
        (("odd size",), ""),
        ((SEVERAL,), "may be several"),
        ((f"{MAY_BE}F07",), "may be F07"),
        ((SEVERAL, f"{MAY_BE}F07"), "may be several or may be F07"),
    ],
)
def test_words_of_one_square(red_and_green, flags, words):
    assert fabric_doubt(replace(red_and_green[0], flags=flags)) == words


@pytest.mark.parametrize(
    ("flags", "same", "cell"), [((), True, "yes"), ((SEVERAL,), None, ""), (("x",), True, "yes")]
)
def test_a_set_of_which_it_can_t_be_told_leaves_the_cell_empty(red_and_green, flags, same, cell):
    swatches = with_flags(red_and_green, *flags)
    request = SetRequest("", None, 2, frozenset(one.label for one in swatches))
    made = match_requests(swatches, [request], MatchRules(same_fabric="prefer"))
    together = [one for one in made.sets if one.same_fabric is not False]
    assert together
    assert {one.same_fabric for one in together} == {same}
    head, *rows = (line.split(",") for line in sets_csv(together).splitlines())
    assert {row[head.index("same_fabric")] for row in rows} == {cell}


def test_a_piece_is_of_its_own_square_s_fabric(red_and_green):
    (one,) = with_flags(red_and_green[:1], SEVERAL)
    assert surely_same(one, one) is True


def test_what_a_person_says_of_a_fabric_is_sure(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    monkeypatch.setattr(fabrics, "SURE_PLAIN", 0.0)  # all drawn squares may be one or several
    monkeypatch.setattr(fabrics, "PLAIN_SPREAD", 1e9)
    with Catalogue(tmp_path / "a.catalogue") as catalogue:
        kept = catalogue.add("reds", None, [looked_at(77)]).kept
        assert all(SEVERAL in one.flags for one in kept.swatches)
        assert any(line.startswith("Can't tell: F01") for line in bundle_lines(kept))
        two = [kept.square("R1C1").id, kept.square("R1C2").id]
        said = catalogue.do("reds", [say.OneFabric.of(two)])
        open_ = {one.label: SEVERAL in one.flags for one in said.swatches}
        assert [open_["R1C1"], open_["R1C2"], open_["R1C3"]] == [False, False, True]
        assert surely_same(*(one for one in said.swatches if one.label in {"R1C1", "R1C2"}))
        assert catalogue.undo("reds").swatches == kept.swatches
