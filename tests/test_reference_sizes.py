"""With a reference page beside them squares are measured in true inches."""

import json
from dataclasses import replace
from fractions import Fraction

import cv2
import numpy as np
import pytest
from reference_made import laid, turned

from catalog.analysis import remeasure_photo
from catalog.bundle.pieces import pieces_from
from catalog.finding import find_squares
from catalog.finding.page_beside_squares import (
    MAX_SCALE_DOUBT,
    inches_borne_out,
    inches_of,
    known_points,
    on_page,
    page_as_printed,
)
from catalog.finding.plane_fitting import fit_plane
from catalog.image_pyramid import image_pyramid
from catalog.light import estimate_light
from catalog.light.candidates.selection import LightCandidate
from catalog.light.candidates.surface_field import even_field
from catalog.light.reduced_view import reduce_photo
from catalog.light.references.page_paper import joined, paper_white
from catalog.light.white_evidence import WhiteEstimate
from catalog.models import Need, Photo, SeenPage, Square, Swatch
from catalog.photo import read_photo
from catalog.reference_page.printed_layout import corners_of, layout_of
from cli.reference_words import CURE, page_lines, reference_lines

MM = 25.4
NAME = "bundle_25_photo_a"
SMALLER = 2
"""The photo is made so many times smaller."""
MIDDLE_IN = (4.3, 5.9)
"""Where the page's middle lies, inches from the middle of the first square."""


@pytest.fixture(scope="module")
def plane_of_truth(sample_photos):
    """The homography from inches to px, and the true quadrilaterals."""
    truth = json.loads((sample_photos / f"{NAME}.json").read_text())
    quads = np.array([one["polygon"] for one in truth["squares"]]) / SMALLER
    pitch = 5.0 + truth["layout"]["gap"]
    places = np.array([[one["col"], one["row"]] for one in truth["squares"]]) * pitch
    flat = places[:, None] + 2.5 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    to_photo, _ = cv2.findHomography(flat.reshape(-1, 2), quads.reshape(-1, 2), 0)
    return to_photo, quads


@pytest.fixture(scope="module")
def with_page(sample_photos, plane_of_truth):
    """The photo with the page laid over its upper left squares, its paper shown neutral."""
    pixels = read_photo(sample_photos / f"{NAME}.jpg").pixels
    small = cv2.resize(pixels, None, fx=1 / SMALLER, fy=1 / SMALLER, interpolation=cv2.INTER_AREA)
    middle = np.array(layout_of("A4").size) / 2 / MM
    move = np.eye(3)
    move[:2, 2] = np.array(MIDDLE_IN) - middle
    return Photo("page", laid(small, plane_of_truth[0] @ move @ np.diag([1 / MM, 1 / MM, 1.0])))


@pytest.fixture(scope="module")
def found(with_page):
    """What is found if the squares are said to measure 4 1/2 in."""
    return find_squares(with_page, 4.5)


def test_sizes_are_true_inches_whatever_was_said(found, plane_of_truth):
    assert found.page.paper == "A4"
    assert 0.002 < found.scale_doubt < 0.01
    assert all(one.absolute for one in found.squares)
    sizes = np.array([(one.width_in, one.height_in) for one in found.squares])
    assert np.median(sizes) == pytest.approx(5.0, abs=1 / 32)
    assert np.quantile(np.abs(sizes - 5.0), 0.75) < 1 / 16  # the page lies over others' sides
    quads = plane_of_truth[1]
    across = np.linalg.norm(quads - np.roll(quads, 1, axis=1), axis=2).mean()
    assert found.pixels_per_inch == pytest.approx(across / 5.0, rel=0.01)


def test_page_and_marks_are_no_squares_and_all_others_are_found(found, plane_of_truth):
    covered = on_page(plane_of_truth[1], found.page)
    assert covered.sum() >= 2
    middles = np.array([np.mean(one.corners, axis=0) for one in found.squares])
    outline = found.page.shown(layout_of("A4").outline).astype(np.float32)
    for x, y in middles:
        assert cv2.pointPolygonTest(outline[:, None], (float(x), float(y)), False) < 0
    for quad in plane_of_truth[1]:
        shown = [cv2.pointPolygonTest(outline[:, None], tuple(map(float, p)), True) for p in quad]
        if max(shown) < -5:
            assert np.linalg.norm(middles - quad.mean(axis=0), axis=1).min() < 5


@pytest.mark.parametrize(("size", "printed"), [("A4", 1.0), ("A4", 0.96), ("Letter", 0.93)])
def test_how_large_the_page_was_printed_is_told_by_its_paper_or_its_bar(size, printed):
    table = np.full((700, 900, 3), (150, 120, 90), np.uint8)
    laid_on = laid(table, turned(8, 1.9, (440.0, 350.0), size), size, printed=printed)
    levels = image_pyramid(laid_on)
    page = page_as_printed(levels, None)
    assert page.by_edges == pytest.approx(printed, abs=0.004)
    assert page.stretch == (1.0 if printed == 1.0 else page.by_edges)
    assert np.ptp(known_points(page).places[:, 0]) == pytest.approx(
        printed * (layout_of(size).size[0] - 24) / MM, rel=0.004
    )
    said = page_as_printed(levels, 5.7)
    assert said.stretch == pytest.approx(5.7 * MM / layout_of(size).bar[2])


def test_edges_that_are_not_seen_tell_nothing(with_page):
    white = np.full((700, 900, 3), 233, np.uint8)
    on_white = laid(white, turned(8, 1.9, (440.0, 350.0)))
    assert page_as_printed(image_pyramid(on_white), None).by_edges is None
    cut = laid(np.full((700, 900, 3), 90, np.uint8), turned(0, 1.9, (180.0, 350.0)))
    assert page_as_printed(image_pyramid(cut), None).by_edges is None


def test_what_is_seen_through_paper_is_on_it_and_what_hides_a_mark_is_not(found):
    page = found.page
    field = page.shown(corners_of(layout_of("A4").field))
    mark = page.shown(corners_of(layout_of("A4").marks[2]))
    assert on_page(np.array([field, mark]), page).all()
    away = field + 5000.0
    assert not on_page(np.array([away]), page).any()
    seen = [0, 1, 3]
    hidden = replace(page, marks=page.marks[seen], printed=page.printed[seen])
    larger = mark.mean(axis=0) + 1.4 * (mark - mark.mean(axis=0))
    assert on_page(np.array([field, larger]), hidden).tolist() == [True, False]
    alone = replace(page, marks=page.marks[:1], printed=page.printed[:1])
    own = page.shown(corners_of(layout_of("A4").marks[0]))
    assert on_page(np.array([own, field, mark]), alone).tolist() == [True, False, False]


def test_a_sheet_that_is_not_flat_is_no_rule(plane_of_truth):
    to_photo, quads = plane_of_truth
    plane = fit_plane(quads, np.ones((len(quads), 4)), (972, 1296))
    layout = layout_of("A4")
    drawn = np.array([corners_of(box) for box in layout.marks])

    def seen(shown):
        there = np.concatenate([shown / MM, np.ones((4, 4, 1))], axis=2) @ to_photo.T
        marks = there[..., :2] / there[..., 2:]
        by, _ = cv2.findHomography(drawn.reshape(-1, 2), marks.reshape(-1, 2), 0)
        return SeenPage("A4", marks, drawn, by)

    scale, doubt = inches_of(plane, seen(drawn))
    assert scale == pytest.approx(5.0, rel=0.005)
    assert doubt < 0.008
    folded = drawn - np.array([0, 15.0]) * (drawn.mean(axis=1)[:, 1] > 150)[:, None, None]
    assert inches_of(plane, seen(folded))[1] > MAX_SCALE_DOUBT
    little = drawn - np.array([0, 5.0]) * (drawn.mean(axis=1)[:, 1] > 150)[:, None, None]
    known, even = seen(little), np.ones((len(quads), 4))
    bent = fit_plane(quads, even, (972, 1296), known=known_points(known))
    assert inches_borne_out(bent, quads, even, known)[1] > MAX_SCALE_DOUBT
    helped = fit_plane(quads, even, (972, 1296), known=known_points(seen(drawn)))
    scale, doubt = inches_borne_out(helped, quads, even, seen(drawn))
    assert scale == pytest.approx(5.0, rel=0.005)
    assert doubt < 0.008


def test_the_marks_hold_the_plane_where_squares_hardly_do(found):
    page = found.page
    quads = np.array([one.corners for one in found.squares])[:1]
    alone = fit_plane(quads, np.ones((1, 4)), (972, 1296))
    helped = fit_plane(quads, np.ones((1, 4)), (972, 1296), known=known_points(page))
    other = np.array([found.squares[-1].corners])
    off = []
    for plane in (alone, helped):
        sides = np.linalg.norm(np.diff(plane.to_plane(other)[0], axis=0), axis=1)
        off.append(np.abs(sides - 1).max())
    assert off[1] < 0.02 < off[0]
    again = fit_plane(quads, np.ones((1, 4)), (972, 1296), start=helped)
    np.testing.assert_allclose(again.rectify, helped.rectify, atol=1e-3)


def test_white_is_the_paper(found, with_page):
    told = estimate_light(with_page, found)
    assert "the paper of the reference page" in told.evidence
    without = estimate_light(with_page, replace(found, page=None))
    assert "reference page" not in without.evidence
    assert told.question is None


def paper_of(found, with_page, change):
    """White by the paper if the page's own pixels are changed."""
    pixels = with_page.pixels.copy()
    mask = np.zeros(pixels.shape[:2], np.uint8)
    outline = found.page.shown(layout_of("A4").outline)
    cv2.fillConvexPoly(mask, np.round(outline).astype(np.int32), 1)
    on_it = mask.astype(bool)
    pixels[on_it] = np.clip(np.round(change(pixels[on_it].astype(float))), 0, 255)
    view = reduce_photo(Photo("changed", pixels), found)
    even = even_field(view)
    return paper_white(view, found.page, LightCandidate(even, None, even))


def test_a_channel_that_the_camera_cut_off_is_told_by_the_printed_greys(found, with_page):
    lamp = paper_of(found, with_page, lambda shown: shown * (1.15, 0.95, 0.7))
    assert lamp.evidence == "the paper and the printed greys of the reference page"
    sure = paper_of(found, with_page, lambda shown: shown * (1.0, 0.826, 0.609))
    assert sure.evidence == "the paper of the reference page"
    assert lamp.tint_doubt > sure.tint_doubt
    ratio = (lamp.tint / lamp.tint.mean()) / (sure.tint / sure.tint.mean())
    np.testing.assert_allclose(ratio, 1.0, atol=0.1)
    assert paper_of(found, with_page, lambda shown: shown * 1.3) is None


def test_coloured_paper_is_no_white_where_white_is_known(found, with_page):
    def told(change):
        paper = paper_of(found, with_page, change)
        return joined(paper, WhiteEstimate(known, "the whites in the prints", 2.5, 0.04, 0.07))

    known = paper_of(found, with_page, lambda shown: 0.9 * shown).tint
    assert "the paper of the reference page" in told(lambda shown: 0.9 * shown).evidence
    yellow = told(lambda shown: shown * (0.9, 0.85, 0.45))
    np.testing.assert_allclose(yellow.tint, known)


def test_a_lamp_mirrored_in_the_page_or_a_shadow_over_it_is_minded(found, with_page):
    plain = paper_of(found, with_page, lambda shown: 0.8 * shown)
    shine = paper_of(found, with_page, lambda shown: 0.6 * shown + 90.0)
    assert shine.level_doubt > 2 * plain.level_doubt
    half = np.linspace(0.0, 1.0, 10_000) < 0.4

    def shaded(shown):
        part = half[np.arange(len(shown)) * len(half) // len(shown)]
        return 0.8 * shown * np.where(part, 0.5, 1.0)[:, None]

    shadow = paper_of(found, with_page, shaded)
    np.testing.assert_allclose(shadow.tint, plain.tint, rtol=0.03)


def test_squares_that_are_kept_are_measured_again_by_the_page(found, with_page):
    kept = replace(found, page=None)
    jpeg = cv2.imencode(".png", with_page.pixels[..., ::-1])[1].tobytes()
    looked = remeasure_photo(jpeg, "page", kept, None)
    assert "the paper of the reference page" in looked.light.evidence


# ---------------------------------------------------------------- what is told and counted


def swatch(size, *, absolute):
    corners = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    square = Square(corners, 1, 1, size, size, 1.0, absolute=absolute)
    return Swatch("R1C1", "a.jpg", square, (50.0, 0.0, 0.0), "plain", 0.0)


def test_true_inches_count_to_a_sixteenth():
    need = Need("patch", "feature", "square", Fraction(5), 4, 2)
    fits = {
        absolute: [bool(pieces_from(swatch(size, absolute=absolute), need)) for size in (4.9, 4.95)]
        for absolute in (False, True)
    }
    assert fits == {False: [True, True], True: [False, True]}


@pytest.mark.parametrize(
    ("size", "told"),
    [
        (5.01, "The squares measure 5 in, as you said."),
        (5.03, "The squares measure 5 1/32 in, which bears out the 5 in that you said."),
        (4.95, "The squares measure 4 15/16 in, 1/16 in less than the 5 in that you said."),
        (4.88, 'count again with --square "4 7/8"'),
        (5.21, "measure its bar"),
    ],
)
def test_a_wrong_side_is_told(size, told):
    (line,) = reference_lines([swatch(size, absolute=True)], Fraction(5), cure=CURE)
    assert line.startswith("a.jpg: reference page found")
    assert told in line
    assert ("--square" in line) == (abs(size - 5) > 0.1)
    assert reference_lines([swatch(size, absolute=False)], Fraction(5), cure=CURE) == []


def test_a_page_that_its_paper_bears_out_needs_no_measuring(found):
    said = {"a.jpg": replace(found, page=replace(found.page, by_edges=0.995))}
    wrong = [swatch(4.88, absolute=True)]
    (line,) = reference_lines(wrong, Fraction(5), cure=CURE, photos=said)
    assert "measure its bar" not in line
    said = {"a.jpg": replace(found, page=replace(found.page, by_edges=0.96))}
    (line,) = reference_lines(wrong, Fraction(5), cure=CURE, photos=said)
    assert "measure its bar" in line


def told_of(found, **changed):
    page = replace(found.page, **changed)
    return page_lines({"a.jpg": replace(found, page=page)})


def test_a_page_that_is_bent_or_printed_otherwise_is_told(found):
    assert told_of(found, by_edges=1.0) == []
    assert told_of(found, by_edges=None) == []
    (line,) = page_lines({"a.jpg": replace(found, scale_doubt=None)})
    assert "doesn't lie flat" in line
    (line,) = told_of(found, by_edges=0.96, stretch=0.96)
    assert "printed at 96 %" in line
    assert "14.4 cm" in line
    (line,) = told_of(found, by_edges=0.96, stretch=1.0, paper="Letter")
    assert "5 3/4 in: measure it once more" in line
    assert page_lines({"a.jpg": replace(found, page=None)}) == []
    (line,) = told_of(found, marks=found.page.marks[:1])
    assert "only one mark" in line
