"""Squares with palettes, made for tests of what follows from them."""

from dataclasses import replace

from hypothesis import strategies as st
from test_families import swatches

from catalog.models import PaletteColour, PrintLook

WHITE, BLACK, GREY = (94.0, 0.0, 0.5), (15.0, 0.0, 0.0), (56.0, 0.0, 0.0)
PINK, AQUA, GREEN = (72.0, 24.0, 6.0), (84.0, -27.0, -4.0), (56.0, -27.0, 19.0)
RED, NAVY, BLUE = (44.0, 55.0, 26.0), (17.0, 2.0, -25.0), (43.0, -2.0, -42.0)


def print_of(*colours, scale="large", motif="", ground=True, mean=(60.0, 3.0, 4.0)):
    """A square of these colours and shares, the first its ground."""
    palette = tuple(
        PaletteColour(tuple(map(float, colour)), share, ground and place == 0)
        for place, (colour, share) in enumerate(colours)
    )
    (plain,) = swatches(mean)
    return replace(plain, palette=palette, palette_at_wall=palette, look=PrintLook(scale, motif))


def bundle_of(*prints):
    """Squares with labels of their own."""
    return [replace(one, label=f"S{n:03d}") for n, one in enumerate(prints, start=1)]


LABS = st.tuples(st.integers(5, 95), st.integers(-60, 60), st.integers(-60, 60))


@st.composite
def any_print(draw):
    """A square of one to five colours, with or without a ground, of any scale."""
    colours = draw(st.lists(LABS, min_size=1, max_size=5))
    parts = sorted((draw(st.integers(1, 20)) for _ in colours), reverse=True)
    shared = [(colour, part / sum(parts)) for colour, part in zip(colours, parts, strict=True)]
    scale = draw(st.sampled_from(["plain", "tonal", "small", "medium", "large"]))
    return print_of(*shared, scale=scale, ground=draw(st.booleans()), mean=draw(LABS))
