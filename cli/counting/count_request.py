"""What the user asks for: an order as typed, checked and put into the library's terms."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from catalog import rule_limits
from catalog.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from catalog.models import LightHints, MatchRules, Need


class Sameness(StrEnum):
    """Whether two squares of one fabric may be a set."""

    allow = "allow"
    prefer = "prefer"
    avoid = "avoid"


class WallOrder(StrEnum):
    """How sets hang on the wall."""

    rainbow_across = "rainbow-across"
    rainbow_down = "rainbow-down"
    rainbow_diagonal = "rainbow-diagonal"
    light_to_dark = "light-to-dark"
    scattered = "scattered"


class GroundKind(StrEnum):
    """What the squares lie on."""

    white = "white"
    grey = "grey"
    wood = "wood"
    mat = "mat"


@dataclass(frozen=True)
class Order:
    """What the user asks for, as typed."""

    photos: tuple[Path, ...]
    square: str = "5"
    pattern: str | None = None
    sets: int | None = None
    set_size: int = 2
    families: int | None = None
    same_fabric: Sameness = Sameness.allow
    least_step: float = 0.0
    most_step: float | None = None
    tolerance: float | None = None
    lock: tuple[str, ...] = ()
    forbid: tuple[str, ...] = ()
    hold_back: tuple[str, ...] = ()
    white: str | None = None
    grey: str | None = None
    ground: GroundKind | None = None
    lightness_weight: float = 1.0
    seam: str | None = None
    order: str | None = None
    width: str = "40"
    spare: str | None = None
    out: Path | None = None
    replace: bool = False
    quiet: bool = False
    json: bool = False
    default_folder: str = "calicount-out"


def side_of(text: str, *, cm: bool = False) -> Fraction:
    """Side of the squares, inches; a bare number is one of centimetres if those are shown."""
    from catalog.lengths import parse_length

    side = parse_length(text, cm=cm)
    if not 1 / 2 <= side <= 60:
        such = "centimetres, such as 12.5" if cm else "inches, such as 5"
        raise UsageError(f"squares of {text} can't be meant", f"give --square in {such}")
    return side


def rules_of(order: Order) -> MatchRules:
    """What a set may be, refused where it makes no sense."""
    from catalog.bundle.tally_notes import flagged_from
    from catalog.models import MatchRules

    _check_numbers(order)
    usual = flagged_from(order.lightness_weight)
    return MatchRules(
        size=order.set_size,
        sets=order.sets,
        same_fabric=order.same_fabric.value,
        least_value_step=order.least_step,
        greatest_value_step=order.most_step,
        tolerance=usual if order.tolerance is None else order.tolerance,
        locked=tuple(_labels(text, "--lock") for text in order.lock),
        forbidden=tuple(_pair(text) for text in order.forbid),
        held_back=frozenset(_label(text) for text in order.hold_back),
        k_lightness=order.lightness_weight,
    )


def hints_of(order: Order) -> LightHints:
    """What the user says of white, grey and ground."""
    from catalog.models import LightHints

    return LightHints(order.white, order.grey, order.ground.value if order.ground else None)


def _check_numbers(order: Order) -> None:
    if not rule_limits.LIGHTNESS_WEIGHT.hold(order.lightness_weight):
        raise UsageError(
            f"--lightness-weight {order.lightness_weight:g} can't be meant",
            "write 1, or 2 as is usual for cloth",
        )
    if order.families is not None and not rule_limits.FAMILIES.hold(order.families):
        raise UsageError(
            f"{order.families} colour families can't be made",
            f"ask for {rule_limits.FAMILIES} with --families",
        )
    if order.most_step is not None and order.most_step < order.least_step:
        raise UsageError("--most-step is less than --least-step", "turn them round")
    for option, number, within in (
        ("--least-step", order.least_step, rule_limits.STEP),
        ("--most-step", order.most_step, rule_limits.STEP),
        ("--tolerance", order.tolerance, rule_limits.TOLERANCE),
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


def needs_of(order: Order) -> tuple[str, Sequence[Need]]:
    """Title and needs of the pattern, or of matched sets alone."""
    from catalog.bundle.tally import sets_need

    if order.pattern is None:
        return "Matched sets", (sets_need(order.set_size, order.sets),)
    if order.sets is not None or order.set_size != Order.set_size:
        option = "--sets" if order.sets is not None else "--set-size"
        raise UsageError(
            f"{option} and --pattern both say what sets to make", "leave one of them out"
        )
    from catalog.pattern import patterns

    pattern = patterns.load_pattern(order.pattern)
    return pattern.title, patterns.needs_of(pattern)
