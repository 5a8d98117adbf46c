"""Squares seen in two photos: halves of the sample photos, views of them, and made layouts."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest

from catalog.analysis import PhotoAnalysis, analyse_photo, same_squares
from catalog.analysis.layout_alignment import Outlines, overlays
from catalog.analysis.overlap_candidates import PhotoShelf
from catalog.analysis.photo_looks import PhotoLooks, squares_alike
from catalog.colour import lab
from catalog.models import Found, Square, Swatch

SAMPLES = Path(__file__).parents[1] / "sample_photos"
WIDE = 1600


@cache
def pixels(name):
    whole = cv2.imread(str(SAMPLES / f"{name}.jpg"), cv2.IMREAD_COLOR_RGB)
    high = round(WIDE * whole.shape[0] / whole.shape[1])
    return cv2.resize(whole, (WIDE, high), interpolation=cv2.INTER_AREA)


def looked(picture, name="p"):
    _, jpeg = cv2.imencode(".jpg", picture[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 92])
    return analyse_photo(jpeg.tobytes(), name, 5.0)


def dimmed(picture, gain):
    return np.clip(picture * np.float32(gain), 0, 255).astype(np.uint8)


def seen_from(picture, degrees):
    """The picture as another camera place shows it, and what carries its points there."""
    high, wide = picture.shape[:2]
    corners = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
    middle = np.array([wide / 2, high / 2])
    lean = np.array([(0.03, 0.02), (-0.04, 0.03), (-0.02, -0.01), (0.02, -0.04)]) * (wide, high)
    turn = np.deg2rad(degrees)
    spin = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    there = ((corners + lean - middle) @ spin.T * 0.92 + middle).astype(np.float32)
    carry = cv2.getPerspectiveTransform(corners, there)
    view = cv2.warpPerspective(picture, carry, (wide, high), borderMode=cv2.BORDER_REPLICATE)
    return view, carry


def middles(one):
    return np.array([square.corners for square in one.found.squares]).mean(axis=1)


def truth(one, two, carry):
    """Pairs whose middles fall on each other."""
    there = cv2.perspectiveTransform(middles(one)[None], np.asarray(carry, float))[0]
    away = np.linalg.norm(there[:, None] - middles(two), axis=2)
    near = 0.2 * two.found.pixels_per_inch * 5
    return {(i, int(j)) for i, j in enumerate(away.argmin(axis=1)) if away[i, j] < near}


def pairs(one, two):
    return {(p.square_a, p.square_b) for p in same_squares([one, two])}


@cache
def halves(name):
    whole = pixels(name)
    part = round(0.6 * WIDE)
    left, right = looked(whole[:, :part]), looked(dimmed(whole[:, WIDE - part :], 0.9))
    return left, right, np.array([[1, 0, part - WIDE], [0, 1, 0], [0, 0, 1.0]])


@pytest.mark.parametrize(("name", "least"), [("bundle_25_photo_a", 5), ("pale_wood_gap_6x8", 5)])
def test_halves_that_overlap_share_the_squares_in_both(name, least):
    left, right, carry = halves(name)
    true = truth(left, right, carry)
    assert len(true) >= least
    assert pairs(left, right) == true


@pytest.mark.parametrize("degrees", [5, 90, 180])
def test_a_view_from_another_side_shows_the_same_squares(degrees):
    left, _, _ = halves("bundle_25_photo_a")
    view, carry = seen_from(pixels("bundle_25_photo_a"), degrees)
    other = looked(dimmed(view, (0.85, 0.9, 0.95)))
    assert pairs(left, other) == truth(left, other, carry)


def test_prints_are_surer_than_plain_cloth():
    prints = same_squares(halves("bundle_25_photo_a")[:2])
    plains = same_squares(halves("pale_wood_gap_6x8")[:2])
    assert min(pair.sure for pair in prints) > max(pair.sure for pair in plains)


@cache
def other_photo():
    return looked(pixels("bundle_25_photo_b"))


def test_photos_that_share_fabrics_alone_share_no_squares():
    assert pairs(looked(pixels("bundle_25_photo_a")), other_photo()) == set()


def test_other_pieces_of_the_same_fabrics_laid_in_the_same_order_are_not_the_same():
    whole = pixels("bundle_25_photo_a")
    one = looked(whole)
    changed = whole.copy()
    for square in one.found.squares:
        corners = np.array(square.corners, np.float32)
        about = cv2.getPerspectiveTransform(corners, np.roll(corners, 2, axis=0))
        turned = cv2.warpPerspective(whole, about, whole.shape[1::-1])
        inside = cv2.fillConvexPoly(np.zeros(whole.shape[:2], np.uint8), corners.astype(int), 1)
        changed[inside > 0] = turned[inside > 0]
    two = looked(changed)
    assert len(two.swatches) == len(one.swatches)
    assert pairs(one, two) == set()


def only(one, columns):
    """The photo as if it had shown some columns alone."""
    kept = [i for i, square in enumerate(one.found.squares) if square.col in columns]
    return replace(
        one,
        found=replace(one.found, squares=tuple(one.found.squares[i] for i in kept)),
        swatches=tuple(one.swatches[i] for i in kept),
        crops=tuple(one.crops[i] for i in kept),
    )


def test_parts_of_a_layout_that_do_not_overlap_share_nothing():
    whole = looked(pixels("rainbow_tonals_10x10"))
    assert pairs(only(whole, range(1, 6)), only(whole, range(6, 11))) == set()


def test_every_pair_of_photos_is_looked_at():
    left, right, _ = halves("bundle_25_photo_a")
    found = same_squares([other_photo(), left, right])
    assert {(pair.photo_a, pair.photo_b) for pair in found} == {(1, 2)}
    assert same_squares([left]) == ()
    assert same_squares([other_photo(), left, right], 2) == found
    assert same_squares([left, right, other_photo()], 2) == ()


# ---------------------------------------------------------------- layouts made up


def flat(colours, places):
    """A photo of plain squares of these CIELAB colours with these corners."""
    swatches, crops = [], []
    for number, (colour, corners) in enumerate(zip(colours, places, strict=True)):
        square = Square(tuple(map(tuple, corners.tolist())), None, None, 5.0, 5.0, 1.0)
        swatches.append(
            Swatch(f"S{number:03d}", "p", square, tuple(colour), "plain", 0.5,
                   signature=np.zeros(229, np.float32))
        )  # fmt: skip
        level = np.rint(lab.linear_to_srgb(np.maximum(lab.lab_to_linear(colour), 0)) * 255)
        _, jpeg = cv2.imencode(".jpg", np.full((144, 144, 3), level[::-1], np.uint8))
        crops.append(jpeg.tobytes())
    found = Found(tuple(one.square for one in swatches), 20.0)
    return PhotoAnalysis("p", "", 2000, 2000, found, None, tuple(swatches), tuple(crops))


def grid(rows, columns, side=100.0, gap=10.0):
    unit = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * side
    places = [(column, row) for row in range(rows) for column in range(columns)]
    return np.array([np.array(place) * (side + gap) + unit for place in places])


def random_colours(count, seed=5):
    return np.random.default_rng(seed).uniform((30, -40, -40), (85, 40, 40), (count, 3))


def test_a_shift_by_a_column_is_found():
    colours, places = random_colours(20), grid(4, 5)
    column = np.arange(20) % 5
    one, two = (flat(colours[kept], places[kept]) for kept in (column < 4, column > 0))
    expected = {(4 * row + col, 4 * row + col - 1) for row in range(4) for col in range(1, 4)}
    assert pairs(one, two) == expected


def test_rows_that_repeat_leave_it_open():
    colours = random_colours(3)[np.arange(24) % 6 % 3]
    photo = flat(colours, grid(4, 6))
    half = np.arange(24) % 6 < 3
    assert pairs(photo, flat(colours[half], grid(4, 3))) == set()


def test_two_colours_say_too_little():
    colours = random_colours(2)[np.arange(12) % 2]
    assert pairs(flat(colours, grid(3, 4)), flat(colours, grid(3, 4))) == set()


def test_one_square_exchanged_is_not_offered_but_the_others_are():
    colours = random_colours(16)
    other = colours.copy()
    other[5] = (50.0, 60.0, 60.0)
    found = pairs(flat(colours, grid(4, 4)), flat(other, grid(4, 4)))
    assert found == {(i, i) for i in range(16) if i != 5}


def test_squares_in_no_rows_are_laid_over_each_other():
    rng = np.random.default_rng(2)
    turns = rng.uniform(0, 2 * np.pi, 16)
    unit = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * 50.0
    spin = np.array([[np.cos(turns), -np.sin(turns)], [np.sin(turns), np.cos(turns)]])
    spin = spin.transpose(2, 0, 1)
    at = grid(4, 4, gap=50.0).mean(axis=1) + rng.uniform(-15, 15, (16, 2))
    places = unit @ spin.transpose(0, 2, 1) + at[:, None]
    carry = np.array([[0.8, -0.3, 40], [0.35, 0.75, 20], [1e-5, 2e-5, 1]])
    there = cv2.perspectiveTransform(places.reshape(1, -1, 2), carry).reshape(-1, 4, 2)
    order = rng.permutation(16)
    colours = random_colours(16)
    found = pairs(flat(colours, places), flat(colours[order], np.roll(there[order], 1, axis=1)))
    assert found == {(int(i), place) for place, i in enumerate(order)}


def test_nothing_alike_gives_no_overlay():
    shapes = Outlines(grid(2, 2))
    assert overlays(shapes, shapes, np.zeros((4, 4), bool)) == []


def test_an_overlay_counts_the_squares_it_misses():
    full, holed = Outlines(grid(3, 3)), Outlines(np.delete(grid(3, 3), 4, axis=0))
    alike = np.delete(np.eye(9, dtype=bool), 4, axis=1)
    (laid,) = overlays(full, holed, alike)
    assert laid.missed == 1
    assert sorted(laid.one) == [0, 1, 2, 3, 5, 6, 7, 8]
    assert laid.off == pytest.approx(0.0, abs=1e-6)


def test_neighbours_are_carried_as_by_the_least_squares_map_of_each_pair():
    rng = np.random.default_rng(4)
    one, two = (Outlines(grid(4, 5) + rng.uniform(-9, 9, (20, 4, 2))) for _ in range(2))
    for i, j in rng.integers(0, 20, (30, 2)):
        known = np.column_stack([one.corners[i], np.ones(4)])
        part = np.linalg.lstsq(known, two.corners[j], rcond=None)[0]
        expected = np.column_stack([one.middles[one.near[i]], np.ones(8)]) @ part
        assert one.weights[i] @ two.corners[j] == pytest.approx(expected, abs=1e-6)


def many_photos():
    """Photos of few fabrics and many, of parts of one layout, of nothing and of one cloth alone."""
    rng = np.random.default_rng(11)
    bases, layout = random_colours(14), random_colours(60, 3)
    shown = grid(6, 10)
    photos = []
    for number in range(9):
        colours = bases[rng.integers(0, (5, 9, 14)[number % 3], 30)] + rng.normal(0, 2, (30, 3))
        photos.append(flat(colours, grid(5, 6) + rng.uniform(-12, 12, (30, 4, 2))))
    for columns in (range(6), range(3, 10), range(5, 8)):
        kept = np.isin(np.arange(60) % 10, list(columns))
        colours = layout[kept] + rng.normal(0, 1, (kept.sum(), 3))
        order = rng.permutation(len(colours))
        photos.append(flat(colours[order], shown[kept][order] * rng.uniform(0.6, 1.4)))
    photos += [flat(bases[:size], grid(1, size)) for size in (0, 1, 2)]
    photos += [flat(bases[[0] * 40], grid(5, 8)), flat(bases[[0] * 35], grid(5, 7))]
    return photos


def test_no_overlay_is_lost_by_telling_many_photos_at_once(monkeypatch):
    photos = many_photos()
    shelf = PhotoShelf([PhotoLooks(one) for one in photos])
    begun = 0
    for b, two in enumerate(shelf.seen):
        told = shelf.may_overlap(b)
        for a, one in enumerate(shelf.seen[:b]):
            if min(len(one.colours), len(two.colours)) > 0:
                alike = squares_alike(one, two)
                laid = overlays(one.outlines, two.outlines, alike)
                assert a in told or not laid
                begun += bool(laid)
                if laid:
                    again = overlays(one.outlines, two.outlines, alike, told[a])
                    assert len(again) == len(laid)
                    for way, same in zip(again, laid, strict=True):
                        assert (way.one == same.one).all()
                        assert (way.two == same.two).all()
                        assert (way.turns == same.turns).all()
    assert begun > 20
    found = same_squares(photos)
    assert {(one.photo_a, one.photo_b) for one in found} >= {(9, 10), (10, 11)}
    monkeypatch.setattr(PhotoShelf, "may_overlap", lambda _, photo: dict.fromkeys(range(photo)))
    assert same_squares(photos) == found


def test_photos_of_other_layouts_are_hardly_ever_tried():
    photos = [PhotoLooks(flat(random_colours(50, seed), grid(5, 10))) for seed in range(20)]
    shelf = PhotoShelf(photos)
    assert sum(len(shelf.may_overlap(photo)) for photo in range(20)) < 190 / 8
