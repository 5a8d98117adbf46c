"""A block proposed from a drawing as JSON: values in, one object out."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from catalog.cutting.customary import QUARTER_SEAM
from catalog.errors import PatternError
from catalog.pattern.blocks.block_pieces import pieces_of_block
from catalog.pattern.blocks.block_text import block_text
from catalog.pattern.patterns import read_pattern
from cli.patterns.block_view import block_view

if TYPE_CHECKING:
    from catalog.pattern.drawing.drawing_values import DrawingProposal

TITLE: Final = "From a drawing"
ABOUT: Final = "A block read from a picture of it; look it over."
DECIMALS: Final = 3


def proposal_view(found: DrawingProposal) -> dict[str, Any]:
    """Return a proposal with its doubts; its pattern file is null where it can't be one yet."""
    doubts = list(found.doubts)
    text: str | None = None
    try:
        text = proposal_text(found, found.drawn.usual_size)
    except PatternError as error:
        doubts.append(str(error))
    view = block_view(found.drawn)
    for colour, look in zip(view["colours"], found.looks, strict=True):
        colour["look"] = look
    return {
        "proposal": {
            **view,
            "cells": [
                {
                    "row": cell.row,
                    "column": cell.column,
                    "wide": cell.wide,
                    "high": cell.high,
                    "certainty": round(own, DECIMALS),
                }
                for cell, own in zip(found.drawn.block.cells, found.certainties, strict=True)
            ],
            "certainty": round(found.certainty, DECIMALS),
            "corners": [[round(x, 1), round(y, 1)] for x, y in found.corners],
            "text": text,
        },
        "doubts": doubts,
    }


def proposal_text(found: DrawingProposal, finished: Fraction, seam: Fraction = QUARTER_SEAM) -> str:
    """Return a proposal as a pattern file, its doubts as remarks above it.

    Raises
    ------
    PatternError
        It can't be one.
    """
    pieced = pieces_of_block(found.drawn, finished, seam)
    notes = ["Read from a drawing. Look at these again:", *found.doubts] if found.doubts else []
    text = block_text(pieced, TITLE, ABOUT, notes)
    read_pattern(text, TITLE)
    return text
