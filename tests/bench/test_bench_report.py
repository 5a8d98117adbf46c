"""The pages of a bundle of 100 squares: made in 2 s, at most 3 MB."""

from dataclasses import replace

import numpy as np
import pytest
from sheets_made import made, swatch

from catalog.models import Photo
from catalog.report.pages.html_report import html_report
from catalog.report.pages.set_cards import cards_pdf


@pytest.fixture(scope="module")
def hundred():
    """100 squares over a photo of twelve megapixels of noise, which compresses worst."""
    noise = np.random.default_rng(1).integers(0, 256, (3000, 4000, 3), np.uint8)
    swatches = []
    for place in range(100):
        one = swatch(place, 10)
        corners = tuple((4 * x, 3.5 * y) for x, y in one.square.corners)
        swatches.append(replace(one, square=replace(one.square, corners=corners)))
    sheets = made(100, 10)
    return replace(sheets, swatches=tuple(swatches), photos=(Photo("table.jpg", noise),))


def test_report_of_a_hundred_squares(benchmark, hundred):
    page = benchmark(html_report, hundred)
    assert len(page.encode()) <= 3_000_000
    assert benchmark.stats["mean"] <= 2.0


def test_cards_of_a_hundred_squares(benchmark, hundred):
    benchmark(cards_pdf, hundred)
    assert benchmark.stats["mean"] <= 2.0
