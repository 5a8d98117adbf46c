"""The options that say what a count is asked, as they are typed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

import typer

from cli.options import (
    ArrangementOption,
    HaveOption,
    LampOption,
    LeastStep,
    LightnessWeight,
    MatchByOption,
    MostStep,
    NamesOption,
    PackOption,
    PatternOption,
    PinkedOption,
    PrecutOption,
    ReferenceBarOption,
    Sameness,
    SeamOption,
    SeenFromOption,
    SetsWanted,
    SpareOption,
    SurfaceOption,
    WidthOption,
    label,
    length,
    number,
)


@dataclass(frozen=True)
class CountOptions:
    """What was typed; None where nothing was, so that a bundle's standing rules hold."""

    square: Annotated[
        str | None,
        length(
            'Side of the squares, such as "2 1/2" or "12.5 cm"; else 5. Where each photo shows '
            'another kind, one for each: "5+10".'
        ),
    ] = None
    pattern: PatternOption = None
    sets: SetsWanted = None
    set_size: Annotated[int | None, number("Squares in a set: 2, 3 or 4; else 2.")] = None
    families: Annotated[
        int | None,
        number("How many colour families; else as the colours fall."),
    ] = None
    names: NamesOption = None
    same_fabric: Annotated[
        Sameness | None,
        typer.Option(help="Whether two squares of one fabric may be in a set; else allow."),
    ] = None
    least_step: LeastStep = None
    most_step: MostStep = None
    tolerance: Annotated[
        float | None,
        number("Largest colour difference in a set that counts, 1 to 20 (CIEDE2000); else 10."),
    ] = None
    lock: Annotated[
        list[str] | None,
        typer.Option(help="Squares that must be a set, such as R1C2+R3C4.", metavar="A+B"),
    ] = None
    forbid: Annotated[
        list[str] | None,
        typer.Option(help="Two squares that must not be in one set.", metavar="A+B"),
    ] = None
    hold_back: Annotated[
        list[str] | None,
        label("A square that nothing may use."),
    ] = None
    white: Annotated[str | None, label("A square that is white cloth.")] = None
    grey: Annotated[str | None, label("A square that is a neutral grey.")] = None
    ground: SurfaceOption = None
    reference_bar: ReferenceBarOption = None
    lamp: LampOption = None
    lightness_weight: LightnessWeight = None
    match_by: MatchByOption = None
    seen_from: SeenFromOption = None
    seam: SeamOption = None
    order: ArrangementOption = None
    width: WidthOption = "40"
    spare: SpareOption = None
    have: HaveOption = None
    precut: PrecutOption = None
    pinked: PinkedOption = None
    pack: PackOption = None


@dataclass(frozen=True)
class RuleOptions:
    """What was typed of a bundle's standing rules; None where nothing was."""

    pattern: ClassVar[None] = None
    """Standing rules hold whatever the pattern."""
    set_size: Annotated[int | None, number("Squares in a set: 2, 3 or 4.")] = None
    families: Annotated[
        int | None,
        number("How many colour families; 0 for as the colours fall."),
    ] = None
    names: NamesOption = None
    same_fabric: Annotated[
        Sameness | None, typer.Option(help="Whether two squares of one fabric may be in a set.")
    ] = None
    least_step: LeastStep = None
    most_step: MostStep = None
    tolerance: Annotated[
        float | None,
        number("Largest colour difference in a set that counts, 1 to 20 (CIEDE2000)."),
    ] = None
    lightness_weight: LightnessWeight = None
    match_by: MatchByOption = None
    seen_from: SeenFromOption = None
