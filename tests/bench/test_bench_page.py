"""How long the page's server takes to answer; run with ``--benchmark-only``."""

from __future__ import annotations

import pytest
from page_server import served

from catalog.analysis import analyse_photo
from catalog.catalogue.bundle_catalogue import Catalogue

SHOWS_WITHIN = 0.2
"""Seconds from the last input to new sets on the screen, for 100 squares."""


@pytest.fixture(scope="module")
def hundred(tmp_path_factory, sample_photos):
    """A page that shows a bundle of 100 squares."""
    place = tmp_path_factory.mktemp("page") / "own.catalogue"
    content = (sample_photos / "rainbow_tonals_10x10.jpg").read_bytes()
    with Catalogue(place) as catalogue:
        catalogue.add("hundred", None, [(analyse_photo(content, "rainbow.jpg", 5.0), content)])
    with served(place) as page:
        view = page.bundle("hundred")
        page.do(view, {"kind": "rules", "tolerance": 9})
        page.get(f"bundle/{view['id']}/sets")
        yield page


def test_a_re_pairing_of_100_squares(benchmark, hundred):
    """A rule is moved and the sets are asked for again, both as the page does it."""
    steps = iter(range(1_000))

    seen = [hundred.bundle("hundred")]

    def re_pair():
        seen[0] = hundred.do(seen[0], {"kind": "rules", "least_step": next(steps) % 20})
        return hundred.get(f"bundle/{seen[0]['id']}/sets")

    told = benchmark(re_pair)
    assert told["sets"]
    assert benchmark.stats.stats.median < SHOWS_WITHIN


def test_a_corner_of_100_squares(benchmark, hundred):
    """A corner is moved: the photo is decoded and measured again."""
    square = hundred.bundle("hundred")["squares"][0]
    steps = iter(range(1_000))

    def move():
        near = 1 + next(steps) % 3
        corners = [[x + near, y + near] for x, y in square["corners"]]
        return hundred.do(
            hundred.bundle("hundred"),
            {"kind": "corners", "square": square["id"], "corners": corners},
        )

    assert benchmark.pedantic(move, rounds=5)["squares"]


def test_a_plan_of_100_squares(benchmark, hundred):
    view = hundred.bundle("hundred")
    steps = iter(range(1_000))

    def plan():
        body = {"pattern": "pinwheel", "rows": 3, "columns": 3 + next(steps) % 4}
        return hundred.post(f"bundle/{view['id']}/plan", body)

    assert benchmark.pedantic(plan, rounds=4)["wall"]
