import csv
import warnings
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from catalog.colour import colour_names
from catalog.colour.ciede2000 import (
    ciede2000,
    ciede2000_matrix,
    pixels_ciede2000,
    threshold_scale,
)
from catalog.colour.colour_names import (
    NEUTRAL_BORDERS,
    NEUTRAL_CHROMA,
    NEUTRALS,
    name_colours,
)
from catalog.colour.lab import (
    chroma,
    hue_angle,
    lab_to_hex,
    lab_to_linear,
    lab_to_srgb8,
    linear_to_lab,
    linear_to_srgb,
    many_pixels_to_lab,
    pixels_to_lab,
    srgb8_to_lab,
    srgb_to_linear,
)
from catalog.colour.munsell import munsell_value

PAIRS = Path(__file__).parent / "golden" / "ciede2000_pairs.csv"
NAMES = Path(colour_names.__file__).parent / "names" / "iscc_nbs.csv"

EITHER = {14: (4.7461, 4.8045)}
"""Opposite hues to within rounding: the formula's two answers (colour-science's own note)."""


@pytest.fixture(scope="module")
def colour():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    return colour


def rows_of(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def pairs():
    rows = rows_of(PAIRS)
    one = np.array([[float(row[key]) for key in ("L1", "a1", "b1")] for row in rows])
    two = np.array([[float(row[key]) for key in ("L2", "a2", "b2")] for row in rows])
    return one, two, [float(row["difference"]) for row in rows]


def from_munsell(colour, notation):
    """CIELAB D65 of a Munsell notation, adapted from illuminant C by Bradford."""
    whites = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    xyz = colour.xyY_to_XYZ(colour.munsell_colour_to_xyY(notation))
    adapted = colour.chromatic_adaptation(
        xyz,
        colour.xy_to_XYZ(whites["C"]),
        colour.xy_to_XYZ(whites["D65"]),
        method="Von Kries",
        transform="Bradford",
    )
    return colour.XYZ_to_Lab(adapted, whites["D65"])


# ---------------------------------------------------------------- CIEDE2000


def test_all_34_published_pairs_to_the_printed_digits():
    one, two, printed = pairs()
    assert len(printed) == 34
    for number, (got, want) in enumerate(zip(ciede2000(one, two), printed, strict=True), 1):
        answers = EITHER.get(number, (want,))
        assert any(abs(got - answer) <= 0.5e-4 + 1e-9 for answer in answers), number


def test_difference_is_symmetric_and_zero_only_for_equals():
    one, two, _ = pairs()
    np.testing.assert_array_equal(ciede2000(one, two), ciede2000(two, one))
    np.testing.assert_array_equal(ciede2000(one, one), np.zeros(34))


@pytest.mark.parametrize("textiles", [False, True])
def test_difference_agrees_with_colour_science(colour, textiles):
    random = np.random.default_rng(7)
    colours = random.uniform([0, -100, -100], [100, 100, 100], (60, 3))
    want = colour.delta_E(colours[:, None], colours[None], method="CIE 2000", textiles=textiles)
    got = ciede2000_matrix(colours, 2.0 if textiles else 1.0)
    np.testing.assert_allclose(got, want, atol=1e-8)


def test_lightness_steps_of_the_grey_scale():
    # ISO 105-A02 grades as CIELAB steps upward from L* 41.2, in CIEDE2000 and with kL = 2.
    for step, plain, textile in ((0.8, 0.72, 0.36), (3.4, 3.12, 1.56), (13.6, 13.44, 6.72)):
        dark, light = (41.2, 0.0, 0.0), (41.2 + step, 0.0, 0.0)
        assert float(ciede2000(dark, light)) == pytest.approx(plain, abs=0.006)
        assert float(ciede2000(dark, light, 2.0)) == pytest.approx(textile, abs=0.006)


def test_matrix_is_the_difference_of_every_pair():
    colours = np.random.default_rng(3).uniform([0, -60, -60], [100, 60, 60], (150, 3))
    colours[:3, 1:] = 0.0
    matrix = ciede2000_matrix(colours)
    np.testing.assert_allclose(matrix, ciede2000(colours[:, None], colours[None]), atol=1e-12)
    np.testing.assert_array_equal(matrix, matrix.T)


@pytest.mark.parametrize(("step", "good_to"), [(0.1, 1e-4), (3.0, 1e-4), (15.0, 3e-3)])
def test_pixels_differ_as_single_colours_do(step, good_to):
    random = np.random.default_rng(4)
    pixels = random.uniform([0, -100, -100], [100, 100, 100], (5000, 3)).astype(np.float32)
    others = pixels + random.uniform(-step, step, (5000, 3))
    told = pixels_ciede2000(pixels, others)
    np.testing.assert_allclose(told, ciede2000(pixels, others), atol=good_to)


@pytest.mark.parametrize("count", [0, 1])
def test_matrix_of_none_or_one(count):
    assert ciede2000_matrix(np.zeros((count, 3))).shape == (count, count)


LAB = st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))


@given(LAB, LAB)
def test_difference_is_a_finite_symmetric_number(one, two):
    difference = float(ciede2000(one, two))
    assert 0.0 <= difference < 300.0
    assert difference == float(ciede2000(two, one))


def test_opposite_hues_are_symmetric_where_the_rotation_term_bites():
    one = np.array([50.0, -30.0, 20.0])
    two = np.array([60.0, 60.0, -40.0])
    assert float(ciede2000(one, two)) == float(ciede2000(two, one))


# ---------------------------------------------------------------- sRGB, XYZ, CIELAB


def test_white_black_and_grey_are_neutral():
    grey = np.array([[255, 255, 255], [0, 0, 0], [128, 128, 128]], np.uint8)
    lab = srgb8_to_lab(grey)
    np.testing.assert_allclose(lab[:, 1:], 0.0, atol=1e-10)
    np.testing.assert_allclose(lab[:2, 0], [100.0, 0.0], atol=1e-10)
    assert lab[2, 0] == pytest.approx(53.585, abs=1e-3)


def test_lab_agrees_with_colour_science(colour):
    random = np.random.default_rng(1)
    srgb = random.random((200, 3))
    want = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(srgb))
    # The standard prints its matrix to four places; ours follows from its primaries.
    np.testing.assert_allclose(linear_to_lab(srgb_to_linear(srgb)), want, atol=0.05)


def test_lab_agrees_with_scikit_image():
    from skimage.color import rgb2lab

    srgb = np.random.default_rng(2).integers(0, 256, (40, 40, 3), np.uint8)
    np.testing.assert_allclose(srgb8_to_lab(srgb), rgb2lab(srgb), atol=0.05)


@pytest.mark.parametrize("chart", ["ColorChecker24 - After November 2014", "ColorChecker 2005"])
def test_published_chart_patches(colour, chart):
    """The 24 patches' published xyY under D50, adapted to D65, through our XYZ matrix."""
    whites = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    checker = colour.CCS_COLOURCHECKERS[chart]
    xyz = colour.xyY_to_XYZ(np.array(list(checker.data.values())))
    xyz = colour.chromatic_adaptation(
        xyz,
        colour.xy_to_XYZ(checker.illuminant),
        colour.xy_to_XYZ(whites["D65"]),
        method="Von Kries",
        transform="Bradford",
    )
    want = colour.XYZ_to_Lab(xyz, whites["D65"])
    linear = colour.XYZ_to_RGB(xyz, "sRGB", whites["D65"], apply_cctf_encoding=False)
    assert len(want) == 24
    # The linear light of colour-science's printed matrix, out of gamut cyan included.
    assert ciede2000(linear_to_lab(linear), want).max() < 0.05
    inside = np.all((linear >= 0.0) & (linear <= 1.0), axis=1)
    assert inside.sum() >= 23
    # Eight bits cost up to 0.72 among the dark greys.
    assert ciede2000(srgb8_to_lab(lab_to_srgb8(want[inside])), want[inside]).max() < 0.8


@given(hnp.arrays(np.uint8, (5, 3)))
def test_pixels_survive_the_round_trip(pixels):
    np.testing.assert_array_equal(lab_to_srgb8(srgb8_to_lab(pixels)), pixels)


@given(hnp.arrays(np.float64, (4, 3), elements=st.floats(0, 1)))
def test_light_survives_the_round_trip(light):
    np.testing.assert_allclose(lab_to_linear(linear_to_lab(light)), light, atol=1e-12)
    np.testing.assert_allclose(srgb_to_linear(linear_to_srgb(light)), light, atol=1e-7)


def test_table_for_bytes_is_the_curve():
    levels = np.arange(256, dtype=np.uint8)
    table = srgb_to_linear(levels)
    assert table.dtype == np.float32
    np.testing.assert_allclose(table, srgb_to_linear(levels / 255.0), rtol=1e-6)
    assert srgb_to_linear(np.float32([0.5])).dtype == np.float32


def test_hue_chroma_and_hex():
    assert float(chroma((50.0, 3.0, -4.0))) == 5.0
    np.testing.assert_allclose(
        hue_angle([(50, 1, 0), (50, 0, 1), (50, -1, 0), (50, 0, -1), (50, 0, 0)]),
        [0.0, 90.0, 180.0, 270.0, 0.0],
    )
    assert float(hue_angle((50.0, 1.0, -1e-17))) == 0.0
    lightness, a, b = srgb8_to_lab(np.array([18, 171, 9], np.uint8)).tolist()
    assert lab_to_hex((lightness, a, b)) == "#12ab09"


# ---------------------------------------------------------------- names


def test_every_middle_names_its_own_block():
    rows = rows_of(NAMES)
    assert len({row["name"] for row in rows}) == 267
    told = name_colours([[float(row[axis]) for axis in "Lab"] for row in rows])
    differ = {
        row["name"]: name for row, name in zip(rows, told, strict=True) if row["name"] != name
    }
    # All but black, it lies on our border of the neutrals.
    assert differ in ({}, {"greenish black": "black"})


def test_a_published_example(colour):
    # 5RP 8/6 is light purplish pink (NBS SP 440).
    assert name_colours([from_munsell(colour, "5RP 8/6")]) == ["light purplish pink"]


@pytest.mark.parametrize(("index", "border"), list(enumerate(NEUTRAL_BORDERS)))
def test_neutrals_change_at_the_published_values(colour, index, border):
    value = (2.5, 4.5, 6.5, 8.5)[index]
    share = colour.colorimetry.luminance_ASTMD1535(value) / 100.0
    grey = linear_to_lab(np.full(3, share))
    assert float(grey[0]) == pytest.approx(border, abs=0.06)
    around = [(border + step, 0.0, 0.0) for step in (-2.0, -0.1, 0.1, 2.0)]
    assert name_colours(around) == [NEUTRALS[index]] * 2 + [NEUTRALS[index + 1]] * 2


def test_a_colour_between_two_middles_has_the_name_of_the_nearer():
    middles = {row["name"]: [float(row[axis]) for axis in "Lab"] for row in rows_of(NAMES)}
    one, two = np.array(middles["moderate blue"]), np.array(middles["light blue"])
    between = one + np.linspace(0.0, 1.0, 201)[:, None] * (two - one)
    nearer = ciede2000(between, two) < ciede2000(between, one)
    assert name_colours(between) == [("moderate blue", "light blue")[int(it)] for it in nearer]
    assert 50 < nearer.sum() < 150


def test_a_hint_of_colour_makes_of_grey_a_tint_beyond_munsell_chroma_one_half():
    names = name_colours([(56.0, a, 0.0) for a in np.linspace(0.0, 5.0, 101)])
    mean, swing, peak = NEUTRAL_CHROMA
    ends = mean + swing * np.cos(np.radians(peak))
    assert (
        names.index(next(name for name in names if name != "medium gray")) == int(ends / 0.05) + 1
    )
    assert "medium gray" not in names[int(ends / 0.05) + 1 :]


def test_names_do_not_depend_on_the_order_of_the_list(monkeypatch):
    colours = np.random.default_rng(5).uniform([5, -50, -50], [95, 50, 50], (50, 3))
    before = name_colours(colours)
    names, middles = colour_names._blocks()
    order = np.random.default_rng(6).permutation(len(names))
    shuffled = tuple(names[i] for i in order), middles[order]
    monkeypatch.setattr(colour_names, "_blocks", lambda: shuffled)
    assert name_colours(colours) == before


def test_many_colours_get_the_names_that_each_gets_alone():
    rng = np.random.default_rng(3)
    colours = rng.uniform((0, -60, -60), (100, 60, 60), (300, 3))
    colours[::3, 1:] *= 0.05
    assert name_colours(colours) == [name_colours([one])[0] for one in colours]


def test_whole_pictures_convert_as_single_colours_do():
    linear = np.random.default_rng(4).uniform(0, 1.3, (40, 50, 3)) ** 3
    told = pixels_to_lab(linear.astype(np.float32))
    assert told.dtype == np.float32
    np.testing.assert_allclose(told, linear_to_lab(linear), atol=1e-3)


def test_munsell_values_are_those_of_the_standard(colour):
    """ASTM D1535 as colour-science has it, over the range of cloth."""
    for lightness in (5.0, 20.0, 41.22, 50.0, 66.0, 85.4, 97.0):
        luminance = float(colour.colorimetry.luminance_CIE1976(lightness))
        want = float(colour.notation.munsell_value_ASTMD1535(luminance))
        assert munsell_value(lightness) == pytest.approx(want, abs=0.005)
    assert munsell_value(0.0) == munsell_value(-1.0) == 0.0


def test_neutrals_part_at_their_munsell_values():
    values = [munsell_value(border) for border in NEUTRAL_BORDERS]
    assert values == pytest.approx([2.5, 4.5, 6.5, 8.5], abs=0.01)


def test_thresholds_follow_the_weight_of_lightness():
    """Forty observers, kL 1 and 2 (see `catalog.colour.ciede2000`): just seen and just accepted."""
    assert threshold_scale(1.0) == pytest.approx(1.0)
    assert threshold_scale(2.0) == pytest.approx(0.71 / 1.01, rel=0.03)
    assert threshold_scale(2.0) == pytest.approx(1.78 / 2.66, rel=0.04)


@given(st.lists(st.floats(0, 1.875, width=32), min_size=3, max_size=3))
def test_the_table_for_whole_pictures_says_what_the_formula_says(light):
    picture = np.full((2, 2, 3), light, np.float32)
    away = np.abs(many_pixels_to_lab(picture) - pixels_to_lab(picture)).max()
    assert away < (0.05 if min(light) > 0.02 else 0.6)
