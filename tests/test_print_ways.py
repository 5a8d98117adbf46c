"""Squares whose print runs one way: what the pattern says of them, and what the photo shows."""

from dataclasses import replace

import pytest
from walls_made import FOUR_PATCH, PINWHEEL, bundle, layout_of

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.models import PrintLook
from catalog.pattern.patterns import pattern_text, read_pattern
from catalog.wall.print_ways import runs_one_way, with_ways_on_wall, with_ways_to_cut
from catalog.wall.wall_plan import plan_wall

STRIPE = PrintLook("small", "stripe", True, (0.5, 0.0))


def planned(quilt, need, size, one_way=("S001a",), said=None):
    """Hang three sets, some squares of which are striped; give the wall's notes, the cuts'."""
    kinds = tuple(
        k
        if said is None or k.source != "bundle"
        else replace(k, directional=said, any_way=not said)
        for k in quilt.kinds
    )
    quilt = replace(quilt, kinds=kinds)
    sets, swatches = bundle(3, size, need)
    swatches = [replace(s, look=STRIPE) if s.label in one_way else s for s in swatches]
    wall = plan_wall(quilt, layout_of(quilt), sets, swatches, "rainbow-down")
    known = {one.label: one for one in swatches}
    cuts = with_ways_to_cut(adapt_pattern(quilt).cuts, quilt, wall, known)
    told = with_ways_on_wall(quilt, wall, known)
    assert {label for b in told.blocks for label in b.one_way} == {
        label
        for b in told.blocks
        for patch, label in b.squares
        if runs_one_way(quilt.kind(patch.kind), known[label])
    }
    assert all(set(b.on_side) <= set(b.one_way) for b in told.blocks)
    return [b.note for b in told.blocks if b.squares], {cut.piece: cut.note for cut in cuts}


def test_the_cutting_list_says_on_which_diagonal_a_striped_square_is_cut():
    notes, cuts = planned(PINWHEEL, "wheel", 2, ("S001a", "S001b"))
    rising, falling = cuts["wheel"].split("; ")
    assert {rising[:18], falling[:18]} == {"S001a runs one way", "S001b runs one way"}
    assert {"rises" in rising, "rises" in falling} == {True, False}
    assert cuts["background"] == ""
    assert notes == ["", "", ""]  # cut so, its triangles stand upright


def test_squares_without_a_way_are_not_told_of():
    assert planned(PINWHEEL, "wheel", 2, ())[1]["wheel"] == ""


def test_the_pattern_says_that_it_does_not_matter():
    assert planned(PINWHEEL, "wheel", 2, said=False)[1]["wheel"] == ""


def test_the_pattern_says_it_of_all():
    (note,) = {planned(PINWHEEL, "wheel", 2, (), said=True)[1]["wheel"]}
    for label in ("S001a", "S002b", "S003a"):
        assert label in note


def test_a_block_that_is_turned_says_what_to_turn_back():
    quilt = replace(FOUR_PATCH, turn_rows=90)
    kind = next(k.name for k in quilt.kinds if k.source == "bundle")
    notes, cuts = planned(quilt, kind, 2, ("S001a", "S002a", "S003a"))
    assert "turn it so that it stands upright here" in " ".join(notes)
    assert "sewn in upright" in cuts[kind]


@pytest.mark.parametrize("word", ["true", "false", None])
def test_what_the_pattern_says_goes_before_the_photo(word):
    said = "" if word is None else f"\ndirectional = {word}"
    text = pattern_text("pinwheel").replace('name = "wheel"', f'name = "wheel"{said}')
    (kind,) = (k for k in read_pattern(text, "p").quilt.kinds if k.name == "wheel")
    _, (one, *_) = bundle(1)
    assert runs_one_way(kind, replace(one, look=STRIPE)) == (word != "false")
    assert runs_one_way(kind, one) == (word == "true")
