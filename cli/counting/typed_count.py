"""What was typed for a count, checked once and put into the library's terms."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from catalog import rule_limits
from catalog.errors import UsageError
from catalog.phrases import count_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction
    from pathlib import Path

    from catalog.catalogue.events.standing_rules import StandingRules
    from catalog.count_request import CountRequest
    from catalog.models import MatchRules
    from catalog.pattern.patterns import Pattern
    from cli.counting.count_options import CountOptions, RuleOptions

T = TypeVar("T")

USUAL_SIDE = "5"
"""Inches; the precut that most patterns for squares ask for."""


def side_of(text: str, option: str = "--square", *, cm: bool = False) -> Fraction:
    """Side of the squares, inches; a bare number is one of centimetres if those are shown."""
    from catalog.length_text import parse_length

    side = parse_length(text, cm=cm)
    if not rule_limits.SIDE.hold(float(side)):
        such = "centimetres, such as 12.5" if cm else "inches, such as 5"
        raise UsageError(f"squares of {text} can't be meant", f"give {option} in {such}")
    return side


def reference_bar_of(text: str | None) -> float | None:
    """What the bar on a reference page measures, inches; None where nothing was typed."""
    if text is None:
        return None
    from catalog.length_text import parse_length

    long = float(parse_length(text))
    if not rule_limits.REFERENCE_BAR.hold(long):
        raise UsageError(
            f"--reference-bar {text} can't be meant", 'measure the bar; write 5.9 or "14.8 cm"'
        )
    return long


def request_of_photos(
    options: CountOptions, photos: Sequence[Path], catalogue: Path | None = None
) -> CountRequest:
    """Return what photographs are asked; a pattern may be one that the catalogue keeps.

    Raises
    ------
    CalicountError
        Something that was typed makes no sense.
    """
    from catalog.catalogue.events.standing_rules import StandingRules
    from catalog.models import LightHints

    ground = options.ground
    sides = _photo_sides(options.square, photos)
    first = options.square.split("+")[0] if options.square and sides else options.square
    return replace(
        request_of(replace(options, square=first), StandingRules(), catalogue=catalogue),
        photos=tuple(photos),
        photo_sides=sides,
        hints=LightHints(
            options.white,
            options.grey,
            ground.value if ground else None,
            reference_bar_of(options.reference_bar),
            options.lamp,
        ),
    )


def _photo_sides(typed: str | None, photos: Sequence[Path]) -> tuple[Fraction, ...]:
    """Return the side of the squares in each photo; none where all are of one kind."""
    parts = typed.split("+") if typed else []
    if len(parts) < 2:
        return ()
    if len(parts) != len(photos):
        raise UsageError(
            f"--square names {len(parts)} sizes for {count_of(len(photos), 'photo')}",
            'name one for all photos, or one for each in their order, as in --square "5+10"',
        )
    return tuple(side_of(part) for part in parts)


def request_of(
    options: CountOptions,
    standing: StandingRules,
    known_side: Fraction | None = None,
    catalogue: Path | None = None,
) -> CountRequest:
    """Return what is asked.

    Parameters
    ----------
    options : CountOptions
    standing : StandingRules
        Hold where nothing else was typed.
    known_side : Fraction, optional
        Of a bundle's squares, inches; else the side that was typed.
    catalogue : Path, optional
        Where a pattern of one's own is looked for; the usual place if None.

    Raises
    ------
    CalicountError
        Something that was typed makes no sense.
    """
    rules = _rules_of(options, standing)
    typed = USUAL_SIDE if options.square is None else options.square
    side = side_of(typed) if known_side is None else known_side
    from catalog.count_request import CountRequest, needs_for
    from cli.cutting.cloth_options import cloth_of, seam_of
    from cli.cutting.stock_options import stock_of

    pattern = _pattern_of(options, rules, catalogue)
    seam = seam_of(options.seam)
    request = CountRequest(
        side=side,
        rules=rules,
        needs=(),
        pattern=pattern,
        seam=seam,
        cloth=cloth_of(options.width, spare=options.spare),
        stock=stock_of(options),
        arrangement=options.order.value if options.order else None,
        families=options.families,
        terms=options.names.value if options.names else standing.names,
        side_typed=typed if known_side is None else str(known_side),
    )
    _check_stock(request)
    return replace(request, needs=needs_for(pattern, rules, request.usable_side, seam))


def _check_stock(request: CountRequest) -> None:
    """Refuse precuts that the pattern has no use for, before any photo is looked at.

    Raises
    ------
    CalicountError
        There is no cloth to buy, none of that name, or a piece is larger than its precut.
    """
    stock = request.stock
    if not stock.in_hand and not stock.sold_as:
        return
    if request.quilt is None:
        raise UsageError(
            "--have and --precut are for cloth that a pattern would have you buy",
            "give --pattern with one that tells how its quilt is built",
        )
    from catalog.cutting.adapted.adaptation import adapt_pattern

    adapt_pattern(request.quilt, seam=request.seam, cloth=request.cloth, stock=stock)


def _rules_of(options: CountOptions, standing: StandingRules) -> MatchRules:
    """Return what a set may be, refused where it makes no sense."""
    from catalog.catalogue.match_rules import match_rules

    said = said_over(standing, options)
    check_rules(said)
    return replace(
        match_rules(said, options.sets),
        locked=tuple(_labels(text, "--lock") for text in options.lock or ()),
        forbidden=tuple(_pair(text) for text in options.forbid or ()),
        held_back=frozenset(_label(text) for text in options.hold_back or ()),
    )


def said_over(standing: StandingRules, options: CountOptions | RuleOptions) -> StandingRules:
    """Return standing rules with what was typed said over them."""
    from catalog.catalogue.events.standing_rules import StandingRules
    from catalog.models import MatchRules

    _refuse_weight(options)
    # A pattern says how many squares match.
    size = standing.set_size if options.pattern is None else MatchRules.size
    same, names, tone = options.same_fabric, options.names, options.match_by
    return StandingRules(
        set_size=_or(options.set_size, size),
        tolerance=_or(options.tolerance, standing.tolerance),
        least_step=_or(options.least_step, standing.least_step),
        most_step=_or(options.most_step, standing.most_step),
        same_fabric=same.value if same else standing.same_fabric,
        lightness_weight=_or(options.lightness_weight, standing.lightness_weight),
        families=_or(options.families, standing.families),
        names=names.value if names else standing.names,
        match_by=tone.value if tone else standing.match_by,
        seen_from=options.seen_from.value if options.seen_from else standing.seen_from,
    )


def _refuse_weight(options: CountOptions | RuleOptions) -> None:
    """Refuse a weight of lightness where squares aren't matched by colour."""
    tone = options.match_by.value if options.match_by else "colour"
    if tone != "colour" and options.lightness_weight not in {None, 1.0}:
        raise UsageError(
            f"--lightness-weight weighs lightness in colours, and --match-by {tone} "
            "looks at no colours",
            "leave one of them out",
        )


def _or(typed: T | None, standing: T) -> T:
    return standing if typed is None else typed


def check_rules(rules: StandingRules) -> None:
    """Refuse numbers that can't be meant.

    Raises
    ------
    UsageError
    """
    from catalog.bundle.square_differences import MAX_STEP_OF_ONE
    from catalog.bundle.tally_notes import counted_to

    if not rule_limits.LIGHTNESS_WEIGHT.hold(rules.lightness_weight):
        raise UsageError(
            f"--lightness-weight {rules.lightness_weight:g} can't be meant",
            "write 1, or 2 as is usual for cloth",
        )
    if rules.families is not None and not rule_limits.FAMILIES.hold(rules.families):
        raise UsageError(
            f"{rules.families} colour families can't be made",
            f"ask for {rule_limits.FAMILIES} with --families",
        )
    if rules.most_step is not None and rules.most_step < rules.least_step:
        raise UsageError("--most-step is less than --least-step", "turn them round")
    counts = rules.tolerance if rules.tolerance is not None else counted_to()
    if rules.match_by == "value" and rules.least_step > counts * MAX_STEP_OF_ONE:
        raise UsageError(
            f"squares that differ by --least-step {rules.least_step:g} don't match by value",
            "match by colour or hue, or ask for a smaller step",
        )
    for option, number, within in (
        ("--least-step", rules.least_step, rule_limits.STEP),
        ("--most-step", rules.most_step, rule_limits.STEP),
        ("--tolerance", rules.tolerance, rule_limits.TOLERANCE),
    ):
        if number is not None and not within.hold(number):
            raise UsageError(f"{option} {number:g} can't be meant", f"write a number from {within}")


def _label(text: str) -> str:
    if not text.strip():
        raise UsageError("--hold-back names no square", "write it as in --hold-back R1C2")
    return text.strip().upper()


def _labels(text: str, option: str) -> tuple[str, ...]:
    labels = tuple(label.strip().upper() for label in text.split("+"))
    if len(labels) < 2 or not all(labels):
        raise UsageError(f"{option} {text} names no set", f"write it as in {option} R1C2+R3C4")
    return labels


def _pair(text: str) -> tuple[str, str]:
    labels = _labels(text, "--forbid")
    if len(labels) != 2:
        raise UsageError(f"--forbid {text} names {len(labels)} squares", "name two at a time")
    return labels[0], labels[1]


def _pattern_of(options: CountOptions, rules: MatchRules, catalogue: Path | None) -> Pattern | None:
    """Read the pattern; None for matched sets alone."""
    from catalog.models import MatchRules

    if options.pattern is None:
        return None
    if options.sets is not None or rules.size != MatchRules.size:
        option = "--sets" if options.sets is not None else "--set-size"
        raise UsageError(
            f"{option} and --pattern both say what sets to make", "leave one of them out"
        )
    from catalog.catalogue.patterns.named_patterns import find_pattern

    pattern = find_pattern(options.pattern, catalogue)
    matched = [need for need in pattern.needs if need.match > 1 and need.source == "bundle"]
    if options.match_by and matched and all(need.match_by for need in matched):
        raise UsageError(
            f"--match-by {options.match_by.value} has nothing to say: {pattern.name} says of all "
            "its pieces what they share",
            "leave it out, or change match_by in the pattern file",
        )
    return pattern
