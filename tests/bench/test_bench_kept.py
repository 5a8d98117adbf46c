"""How long it takes to look through many kept bundles.

Run with ``pytest tests/bench/test_bench_kept.py --benchmark-only``.

Measured (10,000 squares in 100 bundles, Python 3.11, SQLite 3.40): 28 ms of processor time by
colour and 32 ms for a partner; 75 and 130 ms by the clock on 2 cores with three times the work
that they can do. A bundle of 100 squares tried on all shipped patterns: 0.3 s of processor time;
where one asks for sets of three that the bundle hasn't, 0.6 s more. A pattern tried on a hundred
such bundles: 3.4 s, 1.0 of it to read them. A bundle of 400 squares on a pattern that wants all of
them: 0.9 s in sets of three, 3.0 in sets of four (3.5 and 3.8 before sets ended at a proven gap).
"""

from __future__ import annotations

import random

import pytest
from drawn import looked_at, stand_in
from large_catalogue import make, name_of

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.index.index_writing import write_index
from catalog.catalogue.patterns.pattern_fits import fit_of, fits_of, tried_pattern, tried_patterns
from catalog.catalogue.search.bundle_search import search_squares
from catalog.catalogue.search.partner_search import partners_of
from catalog.catalogue.search.square_batches import SquareSearch
from catalog.catalogue.store.catalogue_file import connect
from catalog.catalogue.store.digests import write_bundle_digests
from catalog.catalogue.store.file_transactions import snapshot
from catalog.pattern.patterns import read_pattern

BUNDLES = 100


@pytest.fixture(scope="module")
def full_shelf(tmp_path_factory):
    """A hundred bundles of a hundred squares each, all but the first drawn after it."""
    path = tmp_path_factory.mktemp("shelf") / "kept.catalogue"
    with pytest.MonkeyPatch.context() as patch, Catalogue(path) as catalogue:
        stand_in(patch.setattr)
        catalogue.add("bundle 0", None, [looked_at(0, 10, 10)])
        for number in range(1, BUNDLES):
            copy_first(catalogue.connection, number)
    return path


def copy_first(sql, number):
    """Put another bundle beside the first, with colours of its own."""
    chance = random.Random(number)
    sql.create_function("somewhere", 2, chance.uniform)
    made = {"name": f"bundle {number}", "bundle": number + 1, "first": number * 100}
    sql.execute("begin")
    for statement in (
        "insert into bundles select :bundle, :name, side, 1, added_at from bundles where id = 1",
        """insert into photos select :bundle, :bundle, number, name,
            substr(digest, 1, 60) || printf('%04d', :bundle), wide, high, cut_off, pixels_per_inch,
            added_at, light, evidence, expected_error, unevenness, measured_from, file_digest
            from photos where id = 1""",
        """insert into squares select id + :first, :bundle, :bundle, label, seen from squares
            where bundle_id = 1""",
        """insert into swatches select square_id + :first, :bundle, place, label, square,
            somewhere(15, 92), somewhere(-40, 50), somewhere(-40, 60), print_kind, busyness,
            colour_name, value, fabric, family, role, flags, uncertainty, own_uncertainty,
            signature, state, said, null from swatches where bundle_id = 1""",
    ):
        sql.execute(statement, made)
    write_bundle_digests(sql, number + 1)
    write_index(sql, number + 1)
    sql.execute("commit")


@pytest.fixture
def shelf(full_shelf):
    connection = connect(full_shelf)
    with snapshot(connection):
        yield connection
    connection.close()


def test_by_colour(benchmark, shelf):
    found = benchmark(search_squares, shelf, (50.0, -14.0, -9.0), SquareSearch(), 12)
    assert len(found) == 12
    assert found[0].difference <= found[-1].difference


def test_partner(benchmark, shelf):
    assert len(benchmark(partners_of, shelf, 1, 5)) == 5


def test_a_bundle_on_all_patterns(benchmark, full_shelf):
    patterns = tried_patterns(())
    with Catalogue(full_shelf, reading=True) as catalogue:
        kept = catalogue.bundle("bundle 1")
    assert len(benchmark(fits_of, [kept], patterns)) == len(patterns)


def test_a_pattern_on_all_bundles(benchmark, full_shelf):
    (pinwheel,) = (one for one in tried_patterns(()) if one.line.name == "pinwheel")

    def tried():
        with Catalogue(full_shelf, reading=True) as catalogue:
            bundles = [catalogue.bundle(line.name) for line in catalogue.lines()]
        return fits_of(bundles, [pinwheel])

    assert len(benchmark.pedantic(tried, rounds=2)) == BUNDLES


@pytest.mark.parametrize("size", [3, 4])
def test_four_hundred_squares_on_a_pattern_of_larger_sets(benchmark, tmp_path, size):
    path = tmp_path / "kept.catalogue"
    with pytest.MonkeyPatch.context() as patch:
        make(path, 1, 400, patch.setattr)
    with Catalogue(path, reading=True) as catalogue:
        kept = catalogue.bundle(name_of(0))
    text = f"""
title = "Sets of {size}"
description = "All squares of a bundle."
[layout]
rows = {400 // size}
columns = 1
finished_block = "9"
[[feature]]
name = "patch"
piece = "whole square"
size = "5"
per_block = {size}
match = {size}
"""
    tried = tried_pattern(read_pattern(text, "sets"))
    assert not benchmark.pedantic(fit_of, (kept, tried), rounds=1).problem
