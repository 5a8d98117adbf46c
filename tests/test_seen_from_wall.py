"""What the blur of the eye makes of cloth that has no colour."""

import numpy as np
import pytest

from catalog.colour.lab import many_pixels_to_lab
from catalog.measuring.seen_from_wall import seen_from_wall


@pytest.mark.parametrize("cells", [2, 8, 24, 64])
def test_a_black_and_white_check_has_no_colour_from_the_wall(cells):
    place = np.arange(128) * cells // 128 % 2
    check = np.where(place[:, None] ^ place, 0.85, 0.02)[..., None].repeat(3, axis=2)
    seen = seen_from_wall(check.astype(np.float32), np.ones((128, 128), bool), 4.76)
    colours = many_pixels_to_lab(seen)
    assert np.hypot(colours[..., 1], colours[..., 2]).max() < 0.5
    assert colours[..., 0].max() - colours[..., 0].min() > (50 if cells < 9 else 0)
