"""``calicount seam``: the seam that is really sewn, from a test strip."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Final

import typer

from catalog.errors import UsageError
from cli import console
from cli.options import JsonFlag, length, number

if TYPE_CHECKING:
    from catalog.cutting.units.sewn_strip import SewnStrip

MAX_SEAMS: Final = 1000
"""Across a quilt; more is a slip."""


@dataclass(frozen=True)
class SeamOptions:
    """What was typed; lengths as they were written."""

    sewn: Annotated[
        str, length("What the strip measures once sewn and pressed, raw edge to raw edge.")
    ]
    cut: Annotated[str, length("The width that each piece was cut, such as 1 1/2.", "--from")]
    pieces: Annotated[int, number("How many pieces lie side by side.")] = 3
    wanted: Annotated[
        str | None, length("The seam that your pattern is written for; 1/4 in unless told.")
    ] = None
    seams: Annotated[int | None, number("Seams across your quilt: what becomes of its width?")] = (
        None
    )
    cm: Annotated[bool, typer.Option("--cm", help="Centimetres, typed and shown.")] = False


@dataclass(frozen=True)
class SeamAnswer:
    """What a test strip tells."""

    strip: SewnStrip
    wanted: Fraction
    """Inches."""
    seams: tuple[int, ...]
    """For which the quilt's change is told."""
    cm: bool


def seam(options: SeamOptions, json: JsonFlag = False) -> None:
    """Tell the seam that you really sew, from a test strip.

    Cut a few pieces of one width, sew them side by side, press, and measure the whole across.

    For example:

    calicount seam --sewn "3 1/2" --from "1 1/2" --pieces 3

    calicount seam --sewn "3 7/16" --from "1 1/2" --seams 24

    calicount seam --sewn 9 --from 4 --cm
    """
    from catalog.lengths import centimetres_shown
    from cli.cutting.seam_words import answer_text, seam_json

    with centimetres_shown(options.cm):
        answer = _answer(options)
        if json:
            console.say_json(seam_json(answer))
        else:
            for line in answer_text(answer):
                console.say(line)


def _answer(options: SeamOptions) -> SeamAnswer:
    from catalog.cutting.customary import QUARTER_SEAM
    from catalog.cutting.units.sewn_strip import SewnStrip
    from catalog.length_text import parse_length
    from cli.cutting.cloth_options import seam_of

    cm = options.cm
    if options.seams is not None and not 1 <= options.seams <= MAX_SEAMS:
        raise UsageError(
            f"{options.seams} seams across a quilt can't be meant",
            f"give --seams from 1 to {MAX_SEAMS}",
        )
    wanted = seam_of(options.wanted, cm=cm) or QUARTER_SEAM
    strip = SewnStrip(
        parse_length(options.cut, cm=cm), options.pieces, parse_length(options.sewn, cm=cm)
    )
    told = (8, 24, 48) if options.seams is None else (options.seams,)
    return SeamAnswer(strip, wanted, told, cm)
