"""Looking through all bundles, by colour and by what else is known."""

import json

import numpy as np
import pytest
from drawn import looked_at, stand_in

from catalog.bundle.square_differences import compared_palettes
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.search.bundle_search import search_squares
from catalog.catalogue.search.colour_query import parse_colour_query, queried_square
from catalog.catalogue.search.partner_search import partners_of
from catalog.catalogue.search.square_batches import SquareSearch
from catalog.catalogue.store.digests import write_all_digests
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_difference
from catalog.errors import CatalogueError, UsageError
from catalog.models import Likeness


@pytest.fixture
def kept(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(tmp_path / "kept.catalogue") as catalogue:
        catalogue.add("Blues", None, [looked_at(1, 3, 4)])
        catalogue.add("autumn", None, [looked_at(2, 2, 3), looked_at(3, 1, 3)])
        catalogue.add("Tens", 10, [looked_at(4, 2, 2)])
        yield catalogue


@pytest.fixture
def sql(kept):
    return kept.connection


def everything(kept):
    return [
        (line.name, swatch) for line in kept.lines() for swatch in kept.bundle(line.name).swatches
    ]


def number(kept, name, label):
    return kept.bundle(name).square(label).id


def without_prints(sql):
    sql.execute("update swatches set print = null")
    write_all_digests(sql)


class TestByColour:
    def test_the_nearest_of_all_bundles_come_first(self, kept, sql):
        without_prints(sql)
        colour = (50.0, 10.0, -20.0)
        found = search_squares(sql, colour)
        expected = sorted(
            (float(ciede2000(colour, swatch.lab)), name, swatch.label)
            for name, swatch in everything(kept)
        )
        assert [(one.bundle, one.label) for one in found] == [one[1:] for one in expected]
        assert [one.difference for one in found] == pytest.approx([one[0] for one in expected])
        assert search_squares(sql, colour, number=3) == found[:3]

    def test_used_squares_only_if_asked(self, kept, sql):
        without_prints(sql)
        colour = kept.bundle("blues").swatches[0].lab
        kept.do("blues", [say.MarkedSquares([number(kept, "blues", "R1C1")], "cut")])
        assert search_squares(sql, colour)[0].label != "R1C1"
        first = search_squares(sql, colour, SquareSearch(used_too=True))[0]
        assert (first.label, first.state, first.difference) == ("R1C1", "cut", 0.0)

    def test_an_empty_catalogue(self, tmp_path):
        with Catalogue(tmp_path / "none.catalogue") as empty:
            assert search_squares(empty.connection, (50.0, 0.0, 0.0)) == ()


class TestByWhatElseIsKnown:
    def found(self, sql, **search):
        return {
            (one.bundle, one.label) for one in search_squares(sql, None, SquareSearch(**search))
        }

    def test_bundle_by_bundle_in_reading_order(self, kept, sql):
        found = search_squares(sql, None)
        assert [(one.bundle, one.label) for one in found] == [
            (name, swatch.label) for name, swatch in everything(kept)
        ]
        assert {one.difference for one in found} == {None}

    def test_value(self, kept, sql):
        dark = {(n, s.label) for n, s in everything(kept) if s.value == "dark"}
        assert self.found(sql, value="dark") == dark

    def test_fabric(self, kept, sql):
        one, two = (number(kept, "blues", label) for label in ("R1C1", "R3C4"))
        bundle = kept.do("blues", [say.OneFabric.of([one, two])])
        fabric = bundle.swatches[0].fabric
        found = self.found(sql, fabric=(bundle.id, fabric))
        assert {("Blues", "R1C1"), ("Blues", "R3C4")} <= found
        assert {name for name, _ in found} == {"Blues"}

    def test_size(self, kept, sql):
        assert {name for name, _ in self.found(sql, side=10)} == {"Tens"}
        assert {name for name, _ in self.found(sql, least_side=5)} == {"Blues", "autumn", "Tens"}

    def test_left_over_of_the_last_count(self, kept, sql):
        head = {"title": "t", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
        a, b, c = (number(kept, "blues", label) for label in ("R1C1", "R1C2", "R1C3"))
        for squares in ((a, b), (b, c)):
            kept.keep_count(kept.bundle("blues"), head, [(1, "", 1.0, 1.0, "", "[]", squares)])
        left = {label for name, label in self.found(sql, left_over=True) if name == "Blues"}
        assert "R1C1" in left
        assert not {"R1C2", "R1C3"} & left

    def test_a_bundle_that_was_never_counted_has_nothing_left_over(self, kept, sql):
        assert self.found(sql, left_over=True) == set()
        head = {"title": "t", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
        kept.keep_count(kept.bundle("blues"), head, [])
        assert {name for name, _ in self.found(sql, left_over=True)} == {"Blues"}

    def test_what_serves_alone_or_as_small_pieces_is_not_left_over_and_what_doesnt_count_is(
        self, kept, sql
    ):
        lines = [{"need": "post", "swatches": ["R1C1", "R2C2"]}, "odd", {"need": "bought"}]
        head = {"title": "t", "pattern": "", "rules": "{}", "tally": json.dumps(lines), "enough": 0}
        a, b, c, d = (number(kept, "blues", one) for one in ("R1C2", "R1C3", "R2C1", "R2C3"))
        sets = [
            (1, "", 30.0, 1.0, "", '["locked", "not counted"]', (a, b)),
            (2, "", 1.0, 1.0, "", "[]", (c, d)),
        ]
        kept.keep_count(kept.bundle("blues"), head, sets)
        left = {label for _, label in self.found(sql, left_over=True)}
        assert {"R1C2", "R1C3"} <= left
        assert not {"R1C1", "R2C2", "R2C1", "R2C3"} & left


class TestWhatIsMeant:
    def test_a_square_with_its_bundle(self, kept, sql):
        asked = parse_colour_query(sql, "AUTUMN:r1c2")
        assert asked.lab == kept.bundle("autumn").swatches[1].lab
        assert asked.square == number(kept, "autumn", "R1C2")
        assert asked.words == "R1C2 of autumn"

    def test_a_square_of_the_bundle_that_is_looked_through(self, kept, sql):
        assert parse_colour_query(sql, "R2C1", "tens").square == number(kept, "tens", "R2C1")

    def test_a_square_of_no_bundle(self, sql):
        with pytest.raises(UsageError, match="as in autumn:R2C1"):
            parse_colour_query(sql, "r2c1")

    def test_a_square_of_the_only_bundle(self, kept, sql):
        for name in ("tens", "autumn"):
            kept.remove(name)
        assert parse_colour_query(sql, "r2c1").words == "R2C1 of Blues"

    @pytest.mark.parametrize("text", ["autumn:R9C9", "blues:S001"])
    def test_a_square_that_is_not_there(self, sql, text):
        with pytest.raises(CatalogueError, match="can't be found"):
            parse_colour_query(sql, text)

    def test_a_bundle_that_is_not_there(self, sql):
        with pytest.raises(CatalogueError, match="perhaps you mean autumn"):
            parse_colour_query(sql, "autum:R1C1")

    def test_hexadecimal_and_words(self, sql):
        assert parse_colour_query(sql, "#4f7f86").words == "#4f7f86"
        assert parse_colour_query(sql, "dusty teal").words == "dusty teal"

    def test_a_munsell_notation(self, sql):
        asked = parse_colour_query(sql, "5R3C2")
        assert asked.square is None
        assert asked.lab == pytest.approx((30.36, 10.90, 4.50), abs=0.01)
        assert asked.note == ""

    def test_a_bundle_whose_name_makes_it_a_munsell_notation(self, kept, sql):
        kept.rename("blues", "5")
        asked = parse_colour_query(sql, "5R3C2")
        assert asked.square == number(kept, "5", "R3C2")
        assert "taken for the square R3C2 of the bundle 5" in asked.note
        assert parse_colour_query(sql, "5R 3/2").square is None

    def test_only_a_square_will_do_for_a_partner(self, sql):
        with pytest.raises(UsageError, match="names no square"):
            queried_square(sql, "dusty teal")


class TestPartners:
    def best(self, kept, name="blues", label="R1C1", **more):
        return partners_of(kept.connection, number(kept, name, label), **more)

    def test_free_squares_of_all_bundles_but_itself(self, kept):
        found = self.best(kept)
        names = {(one.square.bundle, one.square.label) for one in found}
        assert names == {(n, s.label) for n, s in everything(kept)} - {("Blues", "R1C1")}
        assert self.best(kept, number=2) == found[:2]

    def test_doubt_within_a_photo_is_its_own_only(self, kept):
        own = kept.bundle("blues").swatches[0]
        seen = compared_palettes([own], Likeness())[0]
        for one in self.best(kept):
            swatch = kept.bundle(one.square.bundle).swatches[
                [s.label for s in kept.bundle(one.square.bundle).swatches].index(one.square.label)
            ]
            pair = (
                (own.own_uncertainty, swatch.own_uncertainty)
                if swatch.photo == own.photo
                else (own.uncertainty, swatch.uncertainty)
            )
            assert one.doubt == pytest.approx(np.hypot(*pair))
            (other,) = compared_palettes([swatch], Likeness())
            assert one.difference == pytest.approx(palette_difference(seen, other))

    def test_of_two_as_near_the_surer_comes_first(self, kept, sql):
        sql.execute(
            "update swatches set lightness = 50, a = 0, b = 0, uncertainty = 9, print = null"
        )
        sql.execute("update swatches set uncertainty = 1 where square_id = 17")
        sql.execute("update swatches set own_uncertainty = 8")
        write_all_digests(sql)
        assert self.best(kept)[0].square.id == 17

    def test_not_judged_is_said_as_no_doubt(self, kept, sql):
        sql.execute("update swatches set uncertainty = 0, own_uncertainty = 0")
        write_all_digests(sql)
        assert {one.doubt for one in self.best(kept)} == {0.0}

    def test_none_that_may_not_be(self, kept):
        a, b, c, d, e = (
            number(kept, "blues", label) for label in ("R1C1", "R1C2", "R1C3", "R1C4", "R2C1")
        )
        kept.do(
            "blues",
            [
                say.ForbiddenPairs([(a, b)]),
                say.LockedSets([[c, d]]),
                say.MarkedSquares([e], "damaged"),
            ],
        )
        found = {one.square.id for one in self.best(kept)}
        assert not {a, b, c, d, e} & found
        assert number(kept, "blues", "R2C2") in found

    def test_only_as_large_or_larger(self, kept):
        assert {one.square.bundle for one in self.best(kept, "tens")} == {"Tens"}

    def test_one_that_has_its_set(self, kept):
        a, b = (number(kept, "blues", f"R1C{n}") for n in (1, 2))
        kept.do("blues", [say.LockedSets([[a, b]])])
        with pytest.raises(CatalogueError, match=r"R1C1 \+ R1C2 is locked; unlock it first"):
            self.best(kept)

    def test_one_that_is_used(self, kept):
        kept.do("blues", [say.MarkedSquares([number(kept, "blues", "R1C1")], "cut")])
        with pytest.raises(CatalogueError, match="R1C1 of Blues is cut"):
            self.best(kept)
