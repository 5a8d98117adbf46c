"""Prints measured: their colours and shares, their ground, and how they look from afar."""

from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_measuring import NEUTRAL, checks, photo_of, square

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000
from catalog.colour.palette_difference import palette_difference
from catalog.measuring import measure
from catalog.measuring.print_palettes import colours_of
from catalog.measuring.seen_from_wall import seen_from_wall

WHITE, BLACK = np.array([0.85, 0.85, 0.82]), np.array([0.02, 0.02, 0.025])
PINK, GREEN = np.array([0.75, 0.2, 0.35]), np.array([0.1, 0.35, 0.15])


def dotted(ground, *dots, side=240, pitch=40, radius=11):
    """Cloth with dots in rows, their colours by turns."""
    cloth = np.tile(ground, (side, side, 1))
    for number, (y, x) in enumerate(np.ndindex(side // pitch + 1, side // pitch + 1)):
        colour = dots[number % len(dots)].tolist()
        cv2.circle(cloth, (x * pitch, y * pitch), radius, colour, -1, cv2.LINE_AA)
    return cloth


def told_of(cloth):
    (told,) = measure(*photo_of(cloth), NEUTRAL)
    return told


def nearest(palette, linear):
    """Return the palette's colour nearest to linear light, and how far that is."""
    true = lab.linear_to_lab(linear)
    one = min(palette, key=lambda colour: float(ciede2000(colour.lab, true)))
    return one, float(ciede2000(one.lab, true))


def test_a_plain_is_one_colour_and_its_own_ground():
    told = told_of(np.tile(PINK, (240, 240, 1)))
    (one,) = told.palette
    assert nearest(told.palette, PINK)[1] < 0.5
    assert one.share == 1.0
    assert one.ground
    assert told.palette_at_wall[0].lab == pytest.approx(one.lab, abs=0.3)
    assert told.look.scale == "plain"


def test_dots_are_figures_on_their_ground():
    told = told_of(dotted(WHITE, PINK, GREEN))
    assert len(told.palette) == 3
    for colour in (WHITE, PINK, GREEN):
        assert nearest(told.palette, colour)[1] < 2.0
    assert [one.ground for one in told.palette] == [True, False, False]
    assert nearest(told.palette, WHITE)[0].ground
    dots = np.pi * 11**2 / 40**2
    assert told.palette[0].share == pytest.approx(1 - dots, abs=0.04)


def test_checks_have_no_ground():
    told = told_of(checks(WHITE, BLACK, size=24))
    assert len(told.palette) == 2
    assert not any(one.ground for one in told.palette)
    assert told.palette[0].share == pytest.approx(0.5, abs=0.05)


def test_shares_add_up_and_fall():
    for palette in (
        told_of(dotted(WHITE, PINK, GREEN)).palette,
        told_of(checks(PINK, GREEN)).palette,
    ):
        shares = [one.share for one in palette]
        assert sum(shares) == pytest.approx(1.0)
        assert shares == sorted(shares, reverse=True)


def test_from_the_wall_small_checks_run_together_and_large_do_not():
    fine, coarse = (told_of(checks(PINK, GREEN, size=size)) for size in (4, 60))
    assert len(coarse.palette_at_wall) >= 2
    (one,) = fine.palette_at_wall
    assert ciede2000(one.lab, fine.lab) < 3.0


def test_what_is_seen_from_the_wall_has_the_mean_of_what_is_there():
    even = np.float32(np.random.default_rng(5).uniform(0.2, 0.6, (64, 64, 3)))
    seen = seen_from_wall(even, np.ones((64, 64), bool), 4.76)
    np.testing.assert_allclose(seen.mean(axis=(0, 1)), even.mean(axis=(0, 1)), atol=1e-4)
    assert seen.std() < 0.7 * even.std()


def striped(width, side=240, down=False):
    """Cloth in stripes of two colours, px."""
    cloth = np.where((np.arange(side) // width % 2 == 0)[:, None, None], PINK, WHITE)
    cloth = np.broadcast_to(cloth, (side, side, 3))
    return cloth if down else cloth.transpose(1, 0, 2)


def gingham(width, side=240):
    dark = np.arange(side) // width % 2
    return WHITE + (GREEN - WHITE) * ((dark[:, None] + dark) / 2)[..., None]


def scattered(radius, side=240, seed=3):
    """Cloth with figures of three colours strewn over it."""
    chance = np.random.default_rng(seed)
    cloth = np.tile(WHITE, (side, side, 1))
    for _ in range(round(0.6 * (side / radius) ** 2)):
        axes = (radius, max(2, radius // 3))
        middle = tuple(chance.integers(0, side, 2).tolist())
        colour = [PINK, GREEN, BLACK][chance.integers(3)].tolist()
        cv2.ellipse(cloth, middle, axes, chance.uniform(0, 360), 0, 360, colour, -1)
    return cloth


@pytest.mark.parametrize("down", [False, True])
def test_stripes_run_one_way_and_come_again(down):
    look = told_of(striped(12, down=down)).look
    assert (look.motif, look.directional, look.scale) == ("stripe", True, "small")
    across, along = look.repeat_in[::-1] if down else look.repeat_in
    assert across == pytest.approx(24 / 240 * 5.0, abs=0.01)
    assert along == 0.0


def test_checks_run_both_ways():
    look = told_of(gingham(12)).look
    assert (look.motif, look.directional, look.scale) == ("check", False, "small")
    assert look.repeat_in == pytest.approx((0.5, 0.5), abs=0.01)


def test_dots_are_told_by_their_shape():
    look = told_of(dotted(WHITE, GREEN)).look
    assert (look.motif, look.directional) == ("dots", False)
    assert look.repeat_in == pytest.approx((40 / 48, 40 / 48), abs=0.02)


def test_figures_that_are_strewn_have_a_scale_and_no_repeat():
    scales = []
    for radius in (8, 40):
        look = told_of(scattered(radius)).look
        assert (look.motif, look.directional, look.repeat_in) == ("", False, None)
        scales.append(look.scale)
    assert scales == ["small", "large"]


def test_shades_of_one_are_tonal():
    assert told_of(checks(PINK, 0.8 * PINK, size=30)).look.scale == "tonal"


CLOTHS = {
    "dots": dotted(WHITE, PINK, GREEN),
    "stripes": striped(20),
    "checks": gingham(24),
    "strewn": scattered(30),
}
STABLE = settings(max_examples=8)


def seen_again(cloth, change):
    """Measure cloth and the same changed; give both."""
    photo, found = photo_of(cloth)
    (one,) = measure(photo, found, NEUTRAL)
    (two,) = measure(*change(photo, found), NEUTRAL)
    return one, two


def apart(one, two):
    return max(
        palette_difference(one.palette, two.palette),
        palette_difference(one.palette_at_wall, two.palette_at_wall),
    )


@STABLE
@given(name=st.sampled_from(sorted(CLOTHS)), turns=st.integers(1, 3))
def test_turning_a_square_changes_no_colour(name, turns):
    def turned(photo, found):
        return replace(photo, pixels=np.ascontiguousarray(np.rot90(photo.pixels, turns))), found

    one, two = seen_again(CLOTHS[name], turned)
    assert apart(one, two) < 0.5
    assert (one.look.scale, one.look.motif) == (two.look.scale, two.look.motif)
    assert one.look.directional == two.look.directional
    assert [c.ground for c in one.palette] == [c.ground for c in two.palette]


@STABLE
@given(name=st.sampled_from(sorted(CLOTHS)), inset=st.integers(1, 24), shift=st.integers(-9, 9))
def test_part_of_a_square_has_its_colours(name, inset, shift):
    def cropped(photo, found):
        low, high = 40 + inset, 280 - inset
        corners = [
            (low, low + shift),
            (high, low + shift),
            (high, high + shift),
            (low, high + shift),
        ]
        part = square(corners, size=5.0 * (240 - 2 * inset) / 240)
        return photo, replace(found, squares=(part,)) if inset > abs(shift) else found

    one, two = seen_again(CLOTHS[name], cropped)
    assert apart(one, two) < 4.0
    assert one.look.motif == two.look.motif


@STABLE
@given(name=st.sampled_from(sorted(CLOTHS)), blur=st.floats(0.3, 1.2), seed=st.integers(0, 99))
def test_blur_and_noise_change_colours_little(name, blur, seed):
    def spoilt(photo, found):
        noise = np.random.default_rng(seed).normal(0.0, 4.0, photo.pixels.shape)
        soft = cv2.GaussianBlur(photo.pixels.astype(np.float32), (0, 0), blur) + noise
        return replace(photo, pixels=np.clip(np.rint(soft), 0, 255).astype(np.uint8)), found

    one, two = seen_again(CLOTHS[name], spoilt)
    assert apart(one, two) < 2.5
    assert (one.look.scale, one.look.motif) == (two.look.scale, two.look.motif)


@STABLE
@given(
    name=st.sampled_from(sorted(CLOTHS)),
    tint=st.lists(st.floats(0.6, 0.95), min_size=3, max_size=3),
)
def test_one_fabric_in_two_lights_is_the_same_within_the_doubt_told(name, tint):
    photo, found = photo_of(CLOTHS[name])
    dimmed, _ = photo_of(CLOTHS[name] * tint)
    other = replace(NEUTRAL, tint=np.array(tint))
    (one,), (two,) = measure(photo, found, NEUTRAL), measure(dimmed, found, other)
    assert palette_difference(one.palette, two.palette) <= np.hypot(
        one.uncertainty, two.uncertainty
    )
    assert one.look.scale == two.look.scale


@pytest.mark.parametrize("hidden", [0.2, 0.5])
def test_what_is_hidden_has_no_say(hidden):
    planes = np.tile(np.float32([60.0, 40.0, 10.0])[:, None, None], (1, 128, 128))
    shown = np.ones((128, 128), bool)
    cut = round(128 * hidden)
    planes[:, :cut], shown[:cut] = [[[20.0]], [[0.0]], [[0.0]]], False
    (one,) = colours_of(planes, shown).palette
    assert one.lab == pytest.approx((60.0, 40.0, 10.0), abs=0.01)
    assert one.share == 1.0
