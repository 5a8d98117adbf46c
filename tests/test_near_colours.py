"""``near`` finds a print by any of its colours and says by which; a speck outranks no plain."""

import json
from dataclasses import replace

import numpy as np
import pytest
from drawn import looked_at, stand_in
from prints_made import AQUA, GREEN, PINK, RED, WHITE, print_of
from test_families import swatches

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.index.colour_index import SQUARE
from catalog.catalogue.search.near_colours import nearest_by_colour
from catalog.catalogue.search.square_batches import SquareBatch
from catalog.catalogue.store.catalogue_file import default_file
from catalog.colour.ciede2000 import ciede2000

AQUA_HEX = "#a2e2d9"
"""Of `AQUA`, nearly."""
PLAIN_NEAR, PLAIN_FAR = (79, -24, -10), (50, 30, -50)
SQUARES = {
    "R1C1": print_of((WHITE, 0.5), (AQUA, 0.4), (PINK, 0.1)),
    "R1C2": print_of((WHITE, 0.7), (PINK, 0.2), (AQUA, 0.1)),
    "R1C3": print_of((WHITE, 0.97), (AQUA, 0.03)),
    "R2C1": swatches(PLAIN_NEAR)[0],
    "R2C2": swatches(PLAIN_FAR)[0],
    "R2C3": print_of((RED, 0.6), (GREEN, 0.4), mean=AQUA),
}


@pytest.fixture
def near(monkeypatch, calicount):
    stand_in(monkeypatch.setattr)
    looked, content = looked_at(1, 2, 3)
    told = tuple(
        replace(one, lab=drawn.lab, palette=drawn.palette, look=drawn.look)
        for one, drawn in zip(looked.swatches, SQUARES.values(), strict=True)
    )
    with Catalogue(default_file()) as catalogue:
        catalogue.add("prints", None, [(replace(looked, swatches=told), content)])

    def run(*words):
        ended = calicount("near", *words)
        assert ended.exit_code == 0, ended.output
        return ended.stdout

    return run


def test_a_print_is_found_by_any_of_its_colours(near):
    found = json.loads(near(AQUA_HEX, "--json"))["squares"]
    assert [one["square"] for one in found][:4] == ["R1C1", "R2C1", "R1C2", "R1C3"]
    by = {one["square"]: one["by"] for one in found}
    assert by["R1C2"]["colour"] == "aqua"
    assert by["R1C2"]["share"] == pytest.approx(0.1)
    assert by["R2C1"] is None
    assert {one["square"]: one["difference"] for one in found}["R1C2"] < 4
    assert by["R2C3"]["colour"] == "green"


def test_it_is_said_by_which(near, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    text = near(AQUA_HEX)
    assert "its aqua, a tenth of it" in text
    assert "its aqua, a third of it" in text
    assert "its " not in near("prints:R2C1", "--number", "1")


def test_like_a_square_is_like_the_whole_of_it(near):
    """Its mean colour is that of the third print, whose colours are others."""
    found = json.loads(near("prints:R1C1", "--json"))["squares"]
    assert {one["square"] for one in found[:2]} == {"R1C2", "R1C3"}
    assert {one["by"] for one in found} == {None}


def test_where_no_palette_is_kept_the_mean_counts():
    squares = np.zeros(2, SQUARE)
    squares["square"], squares["lab"] = (7, 3), (PLAIN_FAR, PLAIN_NEAR)
    batch = SquareBatch(squares, np.zeros(2, np.intp), np.empty((0, 4)), np.arange(2))
    found = nearest_by_colour([batch], AQUA, None)
    assert found["square"].tolist() == [3, 7]
    assert found["cost"].tolist() == found["difference"].tolist()
    assert found["difference"].tolist() == ciede2000(AQUA, [PLAIN_NEAR, PLAIN_FAR]).tolist()
    assert not found["of_print"].any()
