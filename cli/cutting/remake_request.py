"""What is asked of ``calicount remake``, as typed, checked and carried out."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from catalog.errors import UsageError
from cli import completion
from cli.cutting.cloth_options import (
    cloth_of,
    length_or_none,
    refuse_measured_alone,
    seam_of,
)
from cli.cutting.stock_options import stock_of
from cli.options import (
    CatalogueOption,
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
    from catalog.cutting.adapted.adaptation import AdaptedPattern
    from catalog.cutting.quilt import Quilt
    from catalog.cutting.quilt_sizes.standard_sizes import UsualSize

MAX_SETS: Final = 10_000
MAX_BED: Final = 180
"""Inches; the largest bed with the longest drop has less."""
MAX_OVERHANG: Final = 24
"""Inches."""


@dataclass(frozen=True)
class RemakeOptions:
    """What was typed."""

    pattern: Annotated[
        str,
        typer.Argument(
            help="A pattern by its name, or a pattern file.",
            metavar="PATTERN",
            autocompletion=completion.patterns,
        ),
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
            "twin, full, queen, king, wall, cot, bag-panel, single-au, king-single-au, double-au, "
            "queen-au or king-au.",
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
    backing_width: Annotated[
        str | None, length("Usable width of the backing's fabric, such as 108; else --width.")
    ] = None
    overhang: Annotated[
        str | None, length("How far backing and batting reach beyond the quilt on each side.")
    ] = None
    mattress: Annotated[
        str | None,
        typer.Option(
            help="The bed to make it for: its mattress, such as 60x80, or by its name and country, "
            "such as queen-us, double-uk, single-eu, king-au, double-jp.",
            metavar="SIZE",
        ),
    ] = None
    drop: Annotated[
        str | None, length("How far it hangs down at the sides and the foot; 12 in or 30 cm.")
    ] = None
    tuck: Annotated[
        str | None, length("How much of it goes round the pillows; none unless you say so.")
    ] = None
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
    catalogue: CatalogueOption = None


def carry_out(options: RemakeOptions) -> tuple[str, AdaptedPattern]:
    """Return the pattern's title and the pattern made over.

    Raises
    ------
    CalicountError
        What makes no sense, or can't be had.
    """
    from catalog.catalogue.patterns.named_patterns import find_pattern
    from catalog.cutting.adapted.adaptation import adapt_pattern, with_offers
    from catalog.cutting.layouts.precuts import PINKING
    from cli.counting.typed_count import side_of

    cm = options.cm
    square = None if options.square is None else side_of(options.square, cm=cm)
    seam = _seam_of(options, square)
    cloth = cloth_of(options.width, options.shrinkage, options.spare, cm=cm)
    if options.sets is not None and not 1 <= options.sets <= MAX_SETS:
        raise UsageError(f"{options.sets} sets can't be meant", "give --sets 1 or more")
    pattern = find_pattern(options.pattern, options.catalogue)
    if pattern.quilt is None:
        raise UsageError(
            f"{options.pattern} only counts squares and doesn't say how the quilt is built",
            "add [block] to it as calicount patterns --show example does",
        )
    stock = stock_of(options)
    if square is not None and stock.pinked == "tips":
        square -= PINKING
    finished = _finished(options.finished, pattern.quilt, cm=cm)
    adapted = adapt_pattern(
        _with_backing(pattern.quilt, options),
        square=square,
        seam=seam,
        finished=finished,
        sets=options.sets,
        shape=options.shape,
        cloth=cloth,
        cm=cm,
        stock=stock,
        bed=_bed(options),
    )
    return pattern.title, with_offers(adapted)


def _finished(text: str | None, quilt: Quilt, *, cm: bool) -> Fraction | None:
    """Return the width of the finished block that is wanted, inches.

    Raises
    ------
    UsageError
        A length beside it that a block of that width doesn't have.
    """
    from catalog.length_text import parse_length
    from catalog.lengths import show_length

    if text is None:
        return None
    sides = [parse_length(side, cm=cm) for side in text.split("x", 1)]
    long = sides[0] * quilt.finished_length / quilt.finished_block
    if len(sides) > 1 and sides[1] != long:
        size = f"{show_length(sides[0], mark=False)} x {show_length(long)}"
        raise UsageError(
            f"blocks of {text} are of another shape than the pattern's",
            f"the nearest that can be had is {size}",
        )
    return sides[0]


def _with_backing(quilt: Quilt, options: RemakeOptions) -> Quilt:
    """Return a quilt with the backing that is asked for."""
    from dataclasses import replace

    from catalog.length_text import parse_length

    finish = quilt.finishing
    back = finish.backing
    if options.backing_width is not None:
        back = replace(back, width=cloth_of(options.backing_width, cm=options.cm).usable_width)
    if options.overhang is not None:
        over = parse_length(options.overhang, cm=options.cm)
        if over > MAX_OVERHANG:
            most = "60 cm" if options.cm else "24 in"
            raise UsageError(
                f"a backing that reaches {options.overhang} beyond the quilt can't be meant",
                f"give --overhang up to {most}",
            )
        back = replace(back, overhang=over)
    return replace(quilt, finishing=replace(finish, backing=back))


def _bed(options: RemakeOptions) -> UsualSize | None:
    """Return the size that the bed asks for; None where none is told."""
    from catalog.cutting.quilt_sizes.beds import USUAL_DROP, USUAL_DROP_CM, bed_size, mattress_of

    cm = options.cm
    if options.mattress is None:
        if options.drop is not None or options.tuck is not None:
            told = "--drop" if options.drop is not None else "--tuck"
            raise UsageError(f"{told} needs a bed", "give --mattress, such as 60x80")
        return None
    if options.shape != "as-written":
        raise UsageError("--mattress and --shape both tell a size", "give only one of them")
    usual = USUAL_DROP_CM if cm else USUAL_DROP
    drop, tuck = (length_or_none(text, cm=cm) for text in (options.drop, options.tuck))
    mattress = mattress_of(options.mattress, cm=cm)
    size = bed_size(mattress, usual if drop is None else drop, tuck or Fraction(0))
    if max(size.width, size.length) > MAX_BED:
        raise UsageError(
            f"a quilt for {options.mattress} would be larger than any bed", "check the units"
        )
    return size


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
