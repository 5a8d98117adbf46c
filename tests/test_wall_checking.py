"""A drawn wall with mistakes is held against its plan."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from bench.wall_scenes import Hanging, Hung, draw_wall
from walls_made import PINWHEEL, SQUARE, layout_of

from catalog.colour.lab import lab_to_linear, linear_to_lab
from catalog.models import Photo, SquareSet, Swatch
from catalog.wall.wall_plan import plan_wall
from catalog.wall_checking import check_wall
from catalog.wall_checking.block_likelihoods import evidence_of
from catalog.wall_checking.cloth_features import ClothsInHand
from catalog.wall_checking.contents import contents_of, look_of, same_look, turns_of
from catalog.wall_checking.planned_wall import BOUGHT, SpareSet, planned_wall
from catalog.wall_checking.wall_cloth import WallCloth

ROWS, COLUMNS = 3, 4
EASY = Hanging("none", 0.3, 0.5, 8.0, 0.3, 0.3, 1.0, 0.0, long_side=1400)


def _cloth(number, lighter):
    """Cloth of its own hue for each set, the lighter square with a stripe."""
    hue = 2 * np.pi * number / (ROWS * COLUMNS)
    lab = np.array([42.0 + 18 * lighter, 32 * np.cos(hue), 32 * np.sin(hue)])
    picture = np.broadcast_to(lab_to_linear(lab), (64, 64, 3)).astype(np.float32).copy()
    if lighter:
        picture[:, ::4] *= 0.8
    return picture


def _label(number, lighter):
    return f"R{number + 1}C{lighter + 1}"


@pytest.fixture(scope="module")
def cloths():
    made = []
    for number in range(ROWS * COLUMNS):
        for lighter in (0, 1):
            pixels = _cloth(number, lighter)
            lab = tuple(linear_to_lab(pixels.mean(axis=(0, 1))).tolist())
            made.append(
                WallCloth(_label(number, lighter), lab, 4.76, pixels, np.ones((64, 64), bool))
            )
    return tuple(made)


@pytest.fixture(scope="module")
def wall(cloths):
    swatches = [Swatch(c.label, "p.jpg", SQUARE, c.lab, "plain", 0.0) for c in cloths]
    sets = [
        SquareSet(n + 1, (_label(n, 0), _label(n, 1)), 18.0, 18.0, "any", False, (), "wheel")
        for n in range(ROWS * COLUMNS)
    ]
    layout = layout_of(PINWHEEL, rows=ROWS, columns=COLUMNS, sashing=Fraction(0), outer=False)
    return planned_wall(PINWHEEL, plan_wall(PINWHEEL, layout, sets, swatches, "rainbow-across"))


def _photographed(wall, cloths, changes, hanging=EASY, seed=3):
    hung = [changes.get(block.place) or Hung("", block.squares) for block in wall.blocks]
    crops = {cloth.label: (cloth.pixels, 5.0) for cloth in cloths}
    return draw_wall(np.random.default_rng(seed), wall, hung, crops, hanging)


@pytest.fixture(scope="module")
def checked(wall, cloths):
    squares = {block.place: block.squares for block in wall.blocks}
    scene = _photographed(
        wall,
        cloths,
        {
            "A1": Hung("other", squares["B3"]),
            "B3": Hung("other", squares["A1"]),
            "A4": Hung("turned", squares["A4"], 90),
            "B1": Hung("turned", squares["B1"], 180),
            "C2": Hung("missing", None),
            "C4": Hung("other", squares["A2"]),
        },
    )
    told = check_wall([scene.photo], wall, cloths)
    return scene, told, {place.place: place for place in told.places}


def test_each_mistake_is_told_with_its_place(checked):
    _, told, places = checked
    assert told.wall_found
    assert (places["A1"].state, places["A1"].shows) == ("other", "B3")
    assert (places["B3"].state, places["B3"].shows) == ("other", "A1")
    assert (places["C4"].state, places["C4"].shows) == ("other", "A2")
    assert places["C4"].set_number is not None
    assert places["A4"].state == "turned"
    assert places["A4"].turned_deg in (90, 270)
    assert places["C2"].state == "missing"


def test_what_looks_as_planned_is_left_alone(checked):
    """So is a pinwheel turned by half: nobody sees it."""
    _, _, places = checked
    rest = set(places) - {"A1", "B3", "A4", "C2", "C4"}
    assert {places[place].state for place in rest} == {"as planned"}
    assert min(places[place].sure for place in rest) > 0.8


def test_blocks_are_outlined_where_they_hang(checked):
    scene, told, _ = checked
    for place, true in zip(told.places, scene.outlines, strict=True):
        if place.outline is not None:
            side = np.linalg.norm(true[1] - true[0])
            assert np.abs(np.array(place.outline) - true).max() < 0.1 * side


def test_a_part_of_the_wall_tells_of_its_places_alone(wall, cloths):
    scene = _photographed(wall, cloths, {}, replace(EASY, part=0.6, join="top"), seed=5)
    told = check_wall([scene.photo], wall, cloths)
    states = [place.state for place in told.places]
    for state, inside in zip(states, scene.in_frame, strict=True):
        assert not inside or state == "as planned"
    assert "not in the photo" in states


def test_no_wall_is_found_where_none_is(wall, cloths):
    noise = np.random.default_rng(1).integers(0, 255, (300, 400, 3)).astype(np.uint8)
    told = check_wall([Photo("n.jpg", noise)], wall, cloths)
    assert not told.wall_found
    assert {place.state for place in told.places} == {"not in the photo"}
    assert check_wall([], wall, cloths) == told


def test_cloth_of_a_set_that_is_planned_nowhere_is_told_by_its_number(wall, cloths):
    """And nothing is said of a place that is to stay empty, as of C4, whose set isn't planned."""
    last = wall.blocks[-1]
    short = replace(
        wall,
        blocks=(*wall.blocks[:-1], replace(last, patches=(), squares=(), set_number=None)),
        spare=(SpareSet(40, last.squares),),
    )
    scene = _photographed(short, cloths, {"B2": Hung("foreign", last.squares)})
    places = {place.place: place for place in check_wall([scene.photo], short, cloths).places}
    found = places["B2"]
    assert (found.state, found.shows, found.set_number) == ("other", None, 40)
    assert {places[place].state for place in places if place not in ("B2", last.place)} == {
        "as planned"
    }
    assert (places[last.place].state, places[last.place].near) == (
        "not in the photo", "nothing is planned there"
    )  # fmt: skip


@pytest.mark.parametrize(("fabric", "told"), [("", True), ("F1", False)])
def test_cloths_that_look_alike_are_told_unless_they_are_of_one_fabric(wall, cloths, fabric, told):
    block = wall.blocks[0]
    dark = next(cloth for cloth in cloths if cloth.label == block.squares[0])
    alike = [
        replace(dark, label=cloth.label, fabric=fabric) if cloth.label in block.squares else cloth
        for cloth in cloths
    ]
    scene = _photographed(wall, alike, {})
    place = check_wall([scene.photo], wall, alike).places[0]
    assert place.state == "as planned"
    assert bool(place.near) is told


def test_cloth_clipped_in_several_channels_never_fits_better_than_exactly():

    cloths = ClothsInHand(
        [WallCloth("A", (66.0, -44.0, 54.0), 0.0), WallCloth("B", (81.0, -2.0, -12.0), 0.0)]
    ).features(8.0)
    shown = np.array([[80.0, -5.0, -10.0, 5.0, 1.4, 6.0, 3.2]])
    clipped = np.array([[0.3, 0.4, 0.5]])
    plain = evidence_of(shown, np.zeros((1, 3)), cloths)
    told = evidence_of(shown, clipped, cloths)
    assert (told.square > 0).all()
    assert (told.square < plain.square).all()
    assert (told.volume > plain.volume).all()
    assert told.square[0, 0] > 10 * told.square[0, 1]


def test_patches_cover_their_block(wall):
    block = wall.blocks[0]
    areas = [np.array(patch.polygon) for patch in block.patches]
    total = sum(
        abs((p[:, 0] * np.roll(p[:, 1], -1) - p[:, 1] * np.roll(p[:, 0], -1)).sum()) / 2
        for p in areas
    )
    assert total == pytest.approx(block.width * block.height)
    assert {patch.slot for patch in block.patches} == {BOUGHT, 0, 1}


def test_a_pinwheel_turned_by_a_quarter_looks_as_one_with_its_cloths_exchanged(wall):
    block = wall.blocks[0]
    planned = look_of(block, block.squares, 0)
    assert turns_of(block) == (0, 90, 180, 270)
    assert look_of(block, block.squares, 180) == planned
    assert look_of(block, block.squares, 90) == look_of(block, block.squares[::-1], 0) != planned
    near = {tuple(block.squares): True, tuple(block.squares[::-1]): True}
    assert same_look(planned, look_of(block, block.squares, 90), near)
    assert not same_look(planned, look_of(block, block.squares, 90), {})


def test_every_block_of_a_kind_can_hang_at_its_places(wall):
    contents = contents_of(wall, wall.blocks[0].kind, 2)
    assert len(contents.squares) == 2 * len(wall.blocks)
    assert contents.exchanged.sum() == len(wall.blocks)
