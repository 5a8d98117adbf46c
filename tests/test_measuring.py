"""Squares measured: mean in linear light, whatever lies at the edge; labels and values."""

from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.measuring import label_bundle, measure, value_bundle
from catalog.models import Found, Light, Photo, Square, Swatch

NEUTRAL = Light(np.ones(3), np.ones((1, 1, 3), np.float32), "made", 1.0, 0.0)


def square(corners, row=1, col=1, size=5.0):
    return Square(tuple((float(x), float(y)) for x, y in corners), row, col, size, size, 1.0)


def photo_of(cloth, side=240, margin=40):
    """One upright square of cloth (side, side, 3), linear, on grey."""
    linear = np.full((side + 2 * margin, side + 2 * margin, 3), 0.3)
    linear[margin : margin + side, margin : margin + side] = cloth
    pixels = np.round(lab.linear_to_srgb(linear) * 255).astype(np.uint8)
    a, b = margin, margin + side
    return Photo("made.png", pixels), Found((square([(a, a), (b, a), (b, b), (a, b)]),), side / 5)


def checks(one, two, size=12, side=240):
    ys, xs = np.mgrid[:side, :side] // size
    return np.where(((xs + ys) % 2 == 0)[..., None], one, two)


def swatch(label, colour, row=None, col=None, photo="p"):
    place = square([(0, 0), (1, 0), (1, 1), (0, 1)], row, col)
    return Swatch(label, photo, place, colour, "plain", 0.0)


def test_a_plain_square_gives_its_own_colour():
    true = np.array([0.5, 0.1, 0.2])
    (told,) = measure(*photo_of(true), NEUTRAL)
    assert ciede2000(told.lab, lab.linear_to_lab(true)) < 0.3
    assert told.print_kind == "plain"
    assert told.label == "R1C1"


def test_a_print_is_averaged_in_linear_light():
    one, two = np.array([0.9, 0.9, 0.9]), np.array([0.02, 0.02, 0.05])
    (told,) = measure(*photo_of(checks(one, two)), NEUTRAL)
    linear = lab.linear_to_lab((one + two) / 2)
    assert ciede2000(told.lab, linear) < 0.8
    assert ciede2000(told.lab, (lab.linear_to_lab(one) + lab.linear_to_lab(two)) / 2) > 8
    assert told.print_kind == "busy"


def test_a_minority_colour_counts():
    cloth = np.tile(np.array([0.7, 0.7, 0.1]), (240, 240, 1))
    cloth[::24, :] = cloth[1::24, :] = cloth[2::24, :] = (0.05, 0.05, 0.3)
    (told,) = measure(*photo_of(cloth), NEUTRAL)
    assert ciede2000(told.lab, lab.linear_to_lab(cloth.mean(axis=(0, 1)))) < 1.0


def test_a_figure_taken_for_a_thing_is_covered_by_the_doubt():
    cloth = np.tile(np.array([0.05, 0.12, 0.3]), (240, 240, 1))
    cloth[:, :70] = 0.85
    (told,) = measure(*photo_of(cloth), NEUTRAL)
    assert "partly covered" in told.flags
    assert ciede2000(told.lab, lab.linear_to_lab(cloth[5, 200])) < 1
    as_print = ciede2000(told.lab, lab.linear_to_lab(cloth.mean(axis=(0, 1))))
    assert as_print > 15
    assert told.own_uncertainty == pytest.approx(as_print, rel=0.15)
    assert told.uncertainty >= told.own_uncertainty


@given(
    shift=st.lists(st.floats(-3, 3), min_size=8, max_size=8),
    turn=st.sampled_from([0, 1, 2, 3]),
)
def test_corners_a_sixteenth_off_and_turned_change_nothing(shift, turn):
    true = np.array([0.1, 0.4, 0.3])
    photo, found = photo_of(true)
    corners = np.array(found.squares[0].corners) + np.reshape(shift, (4, 2))
    moved = replace(found, squares=(square(np.roll(corners, turn, axis=0)),))
    (told,) = measure(photo, moved, NEUTRAL)
    assert ciede2000(told.lab, lab.linear_to_lab(true)) < 0.5


def test_light_is_divided_out():
    true = np.array([0.4, 0.3, 0.2])
    across = np.linspace(0.5, 1.0, 240)[None, :, None] * np.array([1.0, 0.9, 0.8])
    photo, found = photo_of(true * across)
    height, width = photo.pixels.shape[:2]
    xs = (np.arange(64) + 0.5) * width / 64
    ramp = np.interp(xs, [40, 280], [0.5, 1.0])
    field = np.tile(ramp[None, :, None], (64, 1, 3)).astype(np.float32)
    light = Light(np.array([1.0, 0.9, 0.8]), field, "made", 2.0, 0.0)
    (told,) = measure(photo, found, light)
    assert ciede2000(told.lab, lab.linear_to_lab(true)) < 0.5
    assert told.print_kind == "plain"
    assert height == width


def test_where_squares_overlap_neither_is_measured():
    linear = np.full((300, 400, 3), 0.3)
    linear[40:240, 40:240] = (0.6, 0.1, 0.1)
    linear[40:240, 200:390] = (0.1, 0.1, 0.6)
    pixels = np.round(lab.linear_to_srgb(linear) * 255).astype(np.uint8)
    under = square([(40, 40), (240, 40), (240, 240), (40, 240)])
    over = square([(200, 40), (390, 40), (390, 240), (200, 240)], 1, 2)
    told = measure(Photo("p", pixels), Found((under, over), 40.0), NEUTRAL)
    assert ciede2000(told[0].lab, lab.linear_to_lab([0.6, 0.1, 0.1])) < 0.5
    assert ciede2000(told[1].lab, lab.linear_to_lab([0.1, 0.1, 0.6])) < 0.5


def test_a_signature_does_not_mind_a_quarter_turn():
    cloth = cv2.GaussianBlur(np.random.default_rng(2).uniform(0.1, 0.8, (240, 240, 3)), (0, 0), 6)
    cloth = np.clip((cloth - 0.45) * 8 + 0.45, 0.02, 0.95)
    (one,) = measure(*photo_of(cloth), NEUTRAL)
    (two,) = measure(*photo_of(np.rot90(cloth)), NEUTRAL)
    np.testing.assert_allclose(one.signature, two.signature, atol=1.5)


def test_rows_of_the_second_photo_count_on():
    first = [swatch("R1C1", (50, 0, 0), 1, 1), swatch("R2C1", (50, 0, 0), 2, 1)]
    second = [swatch("R1C1", (40, 0, 0), 1, 1, "q"), swatch("R1C2", (40, 0, 0), 1, 2, "q")]
    told = label_bundle([first, second])
    assert [s.label for s in told] == ["R1C1", "R2C1", "R3C1", "R3C2"]
    assert [s.square.row for s in told] == [1, 2, 3, 3]


def test_squares_in_no_rows_are_numbered_through_the_bundle():
    groups = [[swatch("S001", (50, 0, 0))], [], [swatch("S001", (50, 0, 0), photo="q")]]
    assert [s.label for s in label_bundle(groups)] == ["S001", "S002"]


@given(
    st.lists(
        st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)) | st.none(), unique=True),
        max_size=4,
    )
)
def test_labels_are_unique_in_the_bundle(photos):
    groups = [
        [swatch("x", (50, 0, 0), *(place or (None, None)), photo=str(n)) for place in places]
        for n, places in enumerate(photos)
    ]
    labels = [s.label for s in label_bundle(groups)]
    assert len(set(labels)) == len(labels) == sum(map(len, photos))


def test_values_fall_at_the_gaps():
    told = value_bundle([swatch(str(n), (x, 0, 0)) for n, x in enumerate((85, 20, 50, 88, 25, 52))])
    assert [s.value for s in told] == ["light", "dark", "medium", "light", "dark", "medium"]


@given(st.lists(st.floats(0, 100), min_size=1, max_size=30), st.randoms())
def test_values_rise_with_lightness_and_not_with_order(lightness, random):
    swatches = [swatch(str(n), (x, 0, 0)) for n, x in enumerate(lightness)]
    told = {s.label: s.value for s in value_bundle(swatches)}
    shuffled = swatches.copy()
    random.shuffle(shuffled)
    assert {s.label: s.value for s in value_bundle(shuffled)} == told
    rank = {"dark": 0, "medium": 1, "light": 2}
    steps = [rank[told[s.label]] for s in sorted(swatches, key=lambda s: s.lab[0])]
    assert steps == sorted(steps)


def test_values_part_with_the_least_spread():
    """Against every way of cutting, one by one (Fisher 1958)."""
    lightness = np.sort(np.random.default_rng(5).uniform(10, 95, 14))
    told = value_bundle([swatch(str(n), (x, 0, 0)) for n, x in enumerate(lightness)])
    sizes = [sum(s.value == v for s in told) for v in ("dark", "medium")]

    def cost(i, j):
        return sum(((p - p.mean()) ** 2).sum() for p in np.split(lightness, [i, j]) if len(p))

    best = min(cost(i, j) for i in range(1, 14) for j in range(i, 14))
    assert cost(sizes[0], sum(sizes)) == pytest.approx(best)


def test_squares_of_like_lightness_are_all_medium():
    told = value_bundle([swatch(str(n), (50 + n, 0, 0)) for n in range(4)])
    assert {s.value for s in told} == {"medium"}
    assert value_bundle([]) == ()
