"""What is asked of ``calicount remake``, as typed, checked and carried out."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from catalog.errors import UsageError
from cli.cutting.cloth_options import cloth_of, refuse_measured_alone, seam_of
from cli.cutting.stock_options import stock_of
from cli.options import (
    HaveOption,
    PackOption,
    PinkedOption,
    PrecutOption,
    ReplaceFlag,
    SeamOption,
    SpareOption,
    WidthOption,
    length,
    number,
)

if TYPE_CHECKING:
    from fractions import Fraction

    from catalog.cutting.adapted.adaptation import AdaptedPattern

MAX_SETS: Final = 10_000


@dataclass(frozen=True)
class RemakeOptions:
    """What was typed."""

    pattern: Annotated[
        str, typer.Argument(help="A pattern by its name, or a pattern file.", metavar="PATTERN")
    ]
    square: Annotated[
        str | None,
        length("Side of your squares, such as 5; else those of the pattern."),
    ] = None
    seam: SeamOption = None
    measured: Annotated[
        str | None,
        length(
            "A half-square triangle, sewn two at a time from --square, before it is trimmed: "
            "tells your seam."
        ),
    ] = None
    finished: Annotated[
        str | None,
        length("Finished block you want instead."),
    ] = None
    sets: Annotated[int | None, number("How many matched sets you have.")] = None
    shape: Annotated[
        str,
        typer.Option(
            help="as-written, largest, longer, shorter, square, runner, crib, baby, lap, throw, "
            "twin, full, queen or king.",
            metavar="SHAPE",
        ),
    ] = "as-written"
    width: WidthOption = "40 in"
    shrinkage: Annotated[
        float,
        number("Percent that it shrinks if you wash it first."),
    ] = 0.0
    spare: SpareOption = None
    cm: Annotated[
        bool,
        typer.Option("--cm", help="Centimetres, typed and shown; fabric by 10 cm.", metavar=""),
    ] = False
    have: HaveOption = None
    precut: PrecutOption = None
    pinked: PinkedOption = None
    pack: PackOption = None
    out: Annotated[
        Path | None,
        typer.Option(
            help="Folder for what to cut and buy as tables, and the cutting plans drawn.",
            metavar="FOLDER",
        ),
    ] = None
    replace: ReplaceFlag = False


def carry_out(options: RemakeOptions) -> tuple[str, AdaptedPattern]:
    """Return the pattern's title and the pattern made over.

    Raises
    ------
    CalicountError
        What makes no sense, or can't be had.
    """
    from catalog.cutting.adapted.adaptation import adapt_pattern, with_offers
    from catalog.cutting.layouts.precuts import PINKING
    from catalog.length_text import parse_length
    from catalog.pattern.patterns import load_pattern
    from cli.counting.typed_count import side_of

    cm = options.cm
    square = None if options.square is None else side_of(options.square, cm=cm)
    seam = _seam_of(options, square)
    cloth = cloth_of(options.width, options.shrinkage, options.spare, cm=cm)
    if options.sets is not None and not 1 <= options.sets <= MAX_SETS:
        raise UsageError(f"{options.sets} sets can't be meant", "give --sets 1 or more")
    pattern = load_pattern(options.pattern)
    if pattern.quilt is None:
        raise UsageError(
            f"{options.pattern} only counts squares and doesn't say how the quilt is built",
            "add [block] to it as calicount patterns --show example does",
        )
    stock = stock_of(options)
    if square is not None and stock.pinked == "tips":
        square -= PINKING
    finished = None if options.finished is None else parse_length(options.finished, cm=cm)
    adapted = adapt_pattern(
        pattern.quilt,
        square=square,
        seam=seam,
        finished=finished,
        sets=options.sets,
        shape=options.shape,
        cloth=cloth,
        cm=cm,
        stock=stock,
    )
    return pattern.title, with_offers(adapted)


def _seam_of(options: RemakeOptions, square: Fraction | None) -> Fraction | None:
    """Return the seam really sewn, inches, told or measured; None for the pattern's."""
    from catalog.cutting.units.sewn_seam import METRIC_STEP, SEAM_STEP, seam_of_unit
    from catalog.cutting.units.units_by_name import find_method
    from catalog.length_text import parse_length

    refuse_measured_alone(options.measured, options.seam, square)
    if options.measured is None or square is None:
        return seam_of(options.seam, cm=options.cm)
    method = find_method("half-square-triangle", 2)
    step = METRIC_STEP if options.cm else SEAM_STEP
    return seam_of_unit(method, square, parse_length(options.measured, cm=options.cm), step)
