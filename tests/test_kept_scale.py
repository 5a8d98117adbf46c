"""Many bundles are looked through by an index, which says what a full search would."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from bench.large_catalogue import make, name_of

from catalog.bundle.families import rainbow_order
from catalog.bundle.square_differences import compared_palettes
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.index.picture_index import squares_of_picture
from catalog.catalogue.match_rules import match_rules
from catalog.catalogue.search.bundle_search import search_squares
from catalog.catalogue.search.near_colours import COST_OF_SHARE
from catalog.catalogue.search.partner_search import SQUARE_OF_NINE_TENTHS, partners_of
from catalog.catalogue.search.square_batches import SquareSearch, square_batches
from catalog.catalogue.store import row_reading
from catalog.catalogue.store.integrity import check_up
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.difference_bounds import least_ciede2000
from catalog.colour.palette_difference import palette_difference
from catalog.models import USUAL_LIKENESS

BUNDLES, SQUARES = 6, 50
TEAL = (52.0, -14.0, -6.0)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    path = tmp_path_factory.mktemp("shelf") / "kept.catalogue"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("bench.large_catalogue.DRAWN", 2)
        make(path, BUNDLES, SQUARES, patch.setattr)
    return path


@pytest.fixture
def kept(shelf, tmp_path):
    path = tmp_path / "own.catalogue"
    path.write_bytes(shelf.read_bytes())
    with Catalogue(path) as catalogue:
        yield catalogue


@pytest.fixture(scope="module")
def squares(shelf):
    """All squares with their bundles, by name and place."""
    with Catalogue(shelf, reading=True) as catalogue:
        bundles = [catalogue.bundle(line.name) for line in catalogue.lines()]
    return [(bundle, one) for bundle in bundles for one in bundle.swatches]


def free(bundle, swatch):
    return bundle.by_label[swatch.label].free


def cost_of(swatch):
    """What a square costs in a full search: its nearest colour, and what a small share costs."""
    scale = swatch.look.scale
    told = [(swatch.lab, 1.0)] if scale in {"plain", "tonal"} else []
    told += [(one.lab, one.share) for one in swatch.palette] if scale != "plain" else []
    return min(float(ciede2000(TEAL, lab)) - COST_OF_SHARE * np.log10(share) for lab, share in told)


def named(found):
    return [(one.bundle, one.label) for one in found]


def test_such_a_catalogue_is_well(kept):
    told = check_up(kept.connection)
    assert told.faults == ()
    assert (told.bundles, told.squares) == (BUNDLES, BUNDLES * SQUARES)
    assert [line.free for line in kept.lines()].count(kept.lines()[0].free) == BUNDLES


@pytest.mark.parametrize("indexed", [True, False])
@pytest.mark.parametrize("number", [1, 12])
def test_by_colour_it_is_what_a_full_search_finds(kept, squares, indexed, number):
    if not indexed:
        kept.connection.execute("update colour_index set content = x'00' where bundle_id % 2")
        kept.connection.execute("update colour_index set made_from = '' where bundle_id % 3 = 0")
    full = sorted(
        (cost_of(one), place) for place, (bundle, one) in enumerate(squares) if free(bundle, one)
    )
    expected = [(squares[place][0].name, squares[place][1].label) for _, place in full[:number]]
    assert named(search_squares(kept.connection, TEAL, number=number)) == expected


def picture_of(bundle):
    ordered = rainbow_order(bundle.swatches)
    places = np.linspace(0, len(ordered) - 1, 15).round().astype(int)
    return [bundle.by_label[ordered[place].label].id for place in places]


def test_a_bundles_picture_is_known_without_reading_it(kept, monkeypatch):
    kept.do(name_of(1), [say.MarkedSquares((kept.bundle(name_of(1)).square("R2C2").id,), "cut")])
    bundles = [kept.bundle(line.name) for line in kept.lines()]
    with monkeypatch.context() as patch:
        patch.delattr(row_reading, "record")
        for one in bundles:
            assert list(squares_of_picture(kept.connection, one.id)) == picture_of(one)
            crops = kept.crops(one)
            labels = [one.label(number) for number in picture_of(one)]
            assert list(kept.pictured(one.id)) == [crops[label] for label in labels]
    kept.connection.execute("update colour_index set made_from = ''")
    assert list(squares_of_picture(kept.connection, bundles[0].id)) == picture_of(bundles[0])


def told_rules(kept, **rules):
    kept.do(name_of(1), [say.StandingRules(**rules)])
    return kept.bundle(name_of(1))


@pytest.mark.parametrize(
    "rules",
    [
        {},
        {"match_by": "value"},
        {"match_by": "hue", "seen_from": "hand"},
        {"lightness_weight": 2.0},
    ],
    ids=str,
)
def test_partners_are_what_a_full_search_finds(kept, squares, rules):
    own = told_rules(kept, **rules)
    square = own.swatches[11]
    likeness = match_rules(own.state.rules).likeness
    palettes = compared_palettes([square, *(one for _, one in squares)], likeness)
    full = []
    for place, (bundle, one) in enumerate(squares):
        number = bundle.by_label[one.label].id
        locked = {number for lock in bundle.state.locks for number in lock}
        here = bundle.name == own.name
        if not free(bundle, one) or number in locked or (here and one.label == square.label):
            continue
        mine, theirs = (
            two.own_uncertainty if here and square.photo == one.photo else two.uncertainty
            for two in (square, one)
        )
        away = palette_difference(palettes[0], palettes[place + 1], likeness.k_lightness)
        worth = np.sqrt(away**2 + SQUARE_OF_NINE_TENTHS * (mine**2 + theirs**2))
        full.append((worth, bundle.name, one.label, away))
    full.sort()
    found = partners_of(kept.connection, own.by_label[square.label].id, 8)
    assert [(one.square.bundle, one.square.label) for one in found] == [
        one[1:3] for one in full[:8]
    ]
    assert [one.worth for one in found] == pytest.approx([one[0] for one in full[:8]])
    assert [one.difference for one in found] == pytest.approx([one[3] for one in full[:8]])


def test_like_a_square_is_what_a_full_search_finds(kept, squares):
    bundle, square = squares[7]
    palettes = compared_palettes([square, *(one for _, one in squares)], USUAL_LIKENESS)
    full = sorted(
        (palette_difference(palettes[0], palettes[place + 1]), place)
        for place, (own, one) in enumerate(squares)
        if free(own, one) and place != 7
    )
    number = bundle.by_label[square.label].id
    found = search_squares(
        kept.connection, square.lab, SquareSearch(without=(number,)), 5, like=number
    )
    assert named(found) == [
        (squares[place][0].name, squares[place][1].label) for _, place in full[:5]
    ]


def test_what_a_count_used_and_what_has_another_value_is_passed_over(kept, squares):
    counted = dict.fromkeys(bundle.id for bundle, _ in squares)
    used = {
        row[0] for row in kept.connection.execute("select square_id from set_squares").fetchall()
    }
    expected = [
        (bundle.name, one.label)
        for bundle, one in squares
        if free(bundle, one) and one.value == "dark" and bundle.by_label[one.label].id not in used
    ]
    search = SquareSearch(value="dark", left_over=True)
    assert named(search_squares(kept.connection, None, search)) == expected
    assert named(search_squares(kept.connection, None, search, 4)) == expected[:4]
    assert len(counted) == BUNDLES


def test_a_row_that_something_else_changed_is_never_shown(kept):
    sql = kept.connection
    (first,) = search_squares(sql, TEAL, number=1)
    sql.execute("update swatches set lightness = 99 where square_id = ?", (first.id,))
    with pytest.raises(Exception, match="run calicount check-up"):
        search_squares(sql, TEAL, number=1)
    assert not check_up(sql).well


def test_every_square_is_in_a_batch_once(kept, monkeypatch):
    monkeypatch.setattr("catalog.catalogue.search.square_batches.BATCH", 90)
    monkeypatch.setattr("catalog.catalogue.search.square_batches.READ_AT_ONCE", 1)
    batches = list(square_batches(kept.connection, SquareSearch(used_too=True), "wall"))
    assert len(batches) > 1
    places = np.concatenate([one.places for one in batches])
    assert places.tolist() == list(range(BUNDLES * SQUARES))
    assert all(one.counts.sum() == len(one.colours) for one in batches)


class TestBounds:
    def test_of_random_colours(self):
        chance = np.random.default_rng(22)
        for weight in (0.1, 1.0, 2.0, 10.0):
            for spread in (3.0, 30.0, 130.0):
                one = (chance.uniform(0, 100), *chance.uniform(-spread, spread, 2))
                many = np.column_stack(
                    [chance.uniform(0, 100, 2000), chance.uniform(-spread, spread, (2000, 2))]
                )
                many[:1000] = np.clip(one + chance.normal(0, 2, (1000, 3)), 0, 100)
                away = ciede2000(one, many, weight)
                assert (least_ciede2000(one, many, weight) <= away).all()

    def test_of_published_pairs(self):
        rows = Path("tests/golden/ciede2000_pairs.csv").read_text(encoding="utf-8").splitlines()
        read = list(csv.reader(row for row in rows if not row.startswith("#")))
        told = np.array([[float(cell) for cell in row] for row in read[1:]])
        for row in told:
            least = least_ciede2000(tuple(row[1:4]), row[None, 4:7])[0]
            assert least <= row[7] + 5e-5
            assert least > 0.0

    def test_beyond_white_nothing_is_bounded(self):
        assert least_ciede2000((50.0, 0.0, 0.0), np.array([[101.0, 0.0, 0.0]]))[0] == 0.0
