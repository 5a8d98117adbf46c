"""The colour tables that ship are those that their script makes."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "bench"))

import colour_tables

from catalog.colour.colour_names import NEUTRAL_CHROMA


@pytest.mark.parametrize("path", colour_tables.TABLES, ids=lambda path: path.name)
def test_a_table_is_what_colour_science_makes_of_what_was_published(path):
    """Kelly's notations by the renotation, and the charts' xyY, all to the last printed digit."""
    assert colour_tables.TABLES[path]() == path.read_text(encoding="utf-8")


def test_neutrals_end_at_munsell_chroma_one_half():
    mean, swing, peak = colour_tables.neutral_chroma()
    assert (round(mean, 2), round(swing, 2), round(peak)) == NEUTRAL_CHROMA
