"""The reference page: what is printed, and where a photo shows it."""

import numpy as np
import paper as printed
import pytest
from reference_made import laid, turned
from typer.testing import CliRunner

from catalog.image_pyramid import image_pyramid
from catalog.photo import read_photo
from catalog.reference_page.mark_detection import find_page
from catalog.reference_page.printed_layout import LAYOUTS, corners_of, layout_of
from catalog.report.pages.reference_pdf import reference_pdf
from cli.main import app

WIDE, HIGH = 900, 700
MIDDLE = (430.0, 340.0)


@pytest.fixture(scope="module")
def wood():
    """A noisy brown table."""
    noise = np.random.default_rng(4).normal(0, 6, (HIGH, WIDE, 1))
    return np.clip(np.array([150.0, 120.0, 90.0]) + noise, 0, 255).astype(np.uint8)


def page_in(pixels):
    return find_page(image_pyramid(pixels))


def overlapping(one, two):
    return all(one[k] < two[k] + two[k + 2] and two[k] < one[k] + one[k + 2] for k in (0, 1))


# ---------------------------------------------------------------- what is printed


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda one: one.paper)
def test_nothing_on_the_page_lies_on_anything_else_or_in_its_margin(layout):
    boxes = [*layout.marks, layout.black, *layout.greys, layout.field, layout.bar]
    assert not any(overlapping(one, two) for i, one in enumerate(boxes) for two in boxes[i + 1 :])
    corners = np.concatenate([corners_of(box) for box in boxes])
    assert (corners >= 12).all()
    assert (corners <= np.array(layout.size) - 12 + 1e-6).all()
    assert layout.field[2] * layout.field[3] > 100 * 60


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_pdf_shows_the_page_at_its_size_and_says_how_it_is_used(size, tmp_path):
    pdf = reference_pdf(size)
    (words,) = printed.words_of(pdf, tmp_path)
    words = " ".join(words.split())
    assert "--reference-bar" in words
    assert ("This bar is 6 in long" if size == "Letter" else "This bar is 15 cm long") in words
    assert "Leave this field empty" in words
    (page,) = printed.pictures_of(pdf, tmp_path, dpi=127)
    found = page_in(page)
    assert found.paper == size
    assert len(found.marks) == 4
    dots = 5  # to the millimetre
    np.testing.assert_allclose(found.marks / dots, found.printed, atol=0.25)
    layout = layout_of(size)
    left, top, wide, high = (length * dots for length in layout.bar)
    row = page[round(top + high / 2), :, 0] < 128
    assert np.flatnonzero(row)[[0, -1]] == pytest.approx([left, left + wide - 1], abs=1.5)
    x, y, wide, high = (round(length * dots) for length in layout.field)
    assert page[y + 5 : y + high - 5, x + 5 : x + wide - 5].min() == 255


def test_the_command_writes_the_page_and_says_how_it_is_printed(tmp_path):
    run = CliRunner().invoke(app, ["reference", "--paper", "Letter", "--out", str(tmp_path)])
    assert run.exit_code == 0
    assert (tmp_path / "reference.pdf").read_bytes().startswith(b"%PDF")
    told = " ".join(run.stderr.split() + run.stdout.split())
    assert "100 % (actual size)" in told
    assert "6 in long" in told
    again = CliRunner().invoke(app, ["reference", "--out", str(tmp_path)])
    assert again.exit_code == 2
    assert "--replace" in again.stderr
    quiet = ["reference", "--out", str(tmp_path), "--replace", "--quiet"]
    assert CliRunner().invoke(app, quiet).output == ""
    assert len((tmp_path / "reference.pdf").read_bytes()) > 10_000


# ---------------------------------------------------------------- where a photo shows it


@pytest.mark.parametrize("degrees", [0, 35, 90, 180, 263])
@pytest.mark.parametrize("tilt", [0.0, 0.5])
def test_the_page_is_found_however_it_lies(wood, degrees, tilt):
    size = "A4" if degrees % 2 else "Letter"
    true = turned(degrees, 1.6, MIDDLE, size, tilt)
    page = page_in(laid(wood, true, size))
    assert (page.paper, len(page.marks)) == (size, 4)
    outline = layout_of(size).outline
    there = np.column_stack([outline, np.ones(4)]) @ true.T
    assert np.abs(page.shown(outline) - there[:, :2] / there[:, 2:]).max() < 0.6


def test_a_large_photo_is_searched_small_and_measured_large(wood):
    large = np.repeat(np.repeat(wood[:520, :760], 3, axis=0), 3, axis=1)
    true = turned(20, 3.9, (1150.0, 780.0))
    page = page_in(laid(large, true))
    there = np.concatenate([page.printed, np.ones((4, 4, 1))], axis=2) @ true.T
    assert np.abs(page.marks - there[..., :2] / there[..., 2:]).max() < 0.5


@pytest.mark.parametrize("marks", [(0, 1), (0, 2), (1, 3), (0, 1, 3)])
def test_two_marks_are_enough(wood, marks):
    true = turned(10, 1.6, MIDDLE)
    page = page_in(laid(wood, true, marks=marks))
    assert len(page.marks) == len(marks)
    outline = layout_of("A4").outline
    there = np.column_stack([outline, np.ones(4)]) @ true.T
    assert np.abs(page.shown(outline) - there[:, :2] / there[:, 2:]).max() < 6


def test_one_mark_or_marks_that_do_not_belong_together_place_no_page(wood):
    alone = page_in(laid(wood, turned(10, 1.6, MIDDLE), marks=(2,)))
    assert (len(alone.marks), alone.placed) == (1, False)
    apart = laid(wood, turned(0, 1.2, (200.0, 300.0)), marks=(0,))
    apart = page_in(laid(apart, turned(50, 1.9, (640.0, 380.0)), marks=(3,)))
    assert (len(apart.marks), apart.placed) == (1, False)
    assert page_in(laid(wood, turned(0, 1.6, MIDDLE))[:, ::-1].copy()) is None


def test_a_mark_alone_must_be_read_almost_without_fault(wood):
    alone = laid(wood, turned(0, 2.0, MIDDLE), marks=(2,))
    x, y = page_in(alone).marks[0].mean(axis=0)
    cell = 2 * 40 / 8
    spoilt = alone.copy()
    for place in (-1, 0, 1):
        left, top = (round(one) for one in (x + place * cell, y - cell))
        part = spoilt[top : top + round(cell), left : left + round(cell)]
        part[:] = 255 - part
    assert page_in(spoilt) is None


def test_of_two_pages_the_one_that_shows_more_marks_counts(wood):
    both = laid(wood, turned(0, 1.2, (180.0, 300.0)), marks=(0, 1, 2))
    both = laid(both, turned(0, 1.2, (600.0, 300.0)))
    page = page_in(both)
    assert len(page.marks) == 4
    assert page.shown(np.array([105.0, 148.5])) == pytest.approx([600.0, 300.0], abs=0.5)


def test_a_crumpled_sheet_is_found(wood):
    flat = laid(wood, turned(0, 1.6, MIDDLE))
    down, right = np.mgrid[:HIGH, :WIDE].astype(np.float32)
    import cv2

    bent = cv2.remap(flat, right + 1.5 * np.sin(down / 40), down + 1.5 * np.sin(right / 50),
                     cv2.INTER_LINEAR)  # fmt: skip
    assert len(page_in(bent).marks) == 4


def test_squares_and_prints_are_no_page(sample_photos):
    for name in ("bundle_25_photo_a.jpg", "green_mat_ruler_4x6_prints.jpg"):
        assert page_in(read_photo(sample_photos / name).pixels) is None
    rng = np.random.default_rng(1)
    for cells in (8, 24, 60):
        coarse = rng.integers(0, 2, (cells, cells), dtype=np.uint8) * 220 + 20
        blocks = np.kron(coarse, np.ones((960 // cells, 960 // cells), np.uint8))
        assert page_in(np.repeat(blocks[..., None], 3, axis=2)) is None
    assert page_in(np.zeros((3, 5, 3), np.uint8)) is None
    assert page_in(np.full((400, 4, 3), 200, np.uint8)) is None
