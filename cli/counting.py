"""What ``count`` and ``demo`` share: an order checked, carried out, written and told."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import UsageError
from cli import console

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from catalog.models import MatchRules, Need
    from catalog.pipeline import Count

TOLERANCE = 5.0
"""CIEDE2000 above which a set is flagged where the user names no other: uncalibrated photos don't
decide below it (see ``catalog.tally_notes`` for the words and their sources)."""
STILL_A_MATCH = 10.0
"""CIEDE2000 up to which a set counts for the tally where the user names no tolerance: from here on
two colours are clearly different (ISO 105-A02 puts grade 1-2 of 5 there)."""
CSV_FILES = ("swatches.csv", "sets.csv", "tally.csv")
MOST_FAMILIES = 40


class Sameness(StrEnum):
    """Whether two squares of one fabric may be a set."""

    allow = "allow"
    prefer = "prefer"
    avoid = "avoid"


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
    out: Path | None = None
    replace: bool = False
    json: bool = False
    default_folder: str = "calicount-out"


def run_count(order: Order) -> bool:
    """Carry an order out.

    Returns
    -------
    bool
        Whether the bundle falls short.
    """
    from catalog.report.files import fresh_folder, refuse_taken, write_files

    rules, side = _rules(order), _side(order.square)
    title, needs = _needs(order)
    folder = order.out or fresh_folder(Path(order.default_folder))
    names = (*CSV_FILES, *_picture_names(len(order.photos)))
    if not order.replace:
        refuse_taken(folder, names)
    _check_photos(order.photos)
    with console.progress() as tell:
        from catalog import pipeline

        bundle = pipeline.catalogue(order.photos, float(side), order.families, tell)
        within = STILL_A_MATCH if order.tolerance is None else order.tolerance
        result = pipeline.count(bundle, title, needs, rules, tell, only_within=within)
        tell("writing the files")
        contents = _contents(result)
        written = write_files(folder, contents, ours=names, replace=order.replace)
    _tell(order, result, written)
    return not result.tally.enough


def _side(text: str) -> Fraction:
    from catalog.lengths import parse_length

    side = parse_length(text)
    if not 1 / 2 <= side <= 60:
        raise UsageError(f"squares of {text} can't be meant", "give --square in inches, such as 5")
    return side


def _rules(order: Order) -> MatchRules:
    from catalog.models import MatchRules

    if order.families is not None and not 1 <= order.families <= MOST_FAMILIES:
        raise UsageError(
            f"{order.families} colour families can't be made",
            f"ask for 1 to {MOST_FAMILIES} with --families",
        )
    if order.most_step is not None and order.most_step < order.least_step:
        raise UsageError("--most-step is less than --least-step", "turn them round")
    return MatchRules(
        size=order.set_size,
        sets=order.sets,
        same_fabric=order.same_fabric.value,
        least_value_step=order.least_step,
        greatest_value_step=order.most_step,
        tolerance=TOLERANCE if order.tolerance is None else order.tolerance,
        locked=tuple(_labels(text, "--lock") for text in order.lock),
        forbidden=tuple(_pair(text) for text in order.forbid),
        held_back=frozenset(label.strip().upper() for label in order.hold_back),
    )


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


def _needs(order: Order) -> tuple[str, Sequence[Need]]:
    from catalog.tally import sets_need

    if order.pattern is None:
        return "Matched sets", (sets_need(order.set_size, order.sets),)
    if order.sets is not None:
        raise UsageError(
            "--sets and --pattern both say how many sets to make", "leave one of them out"
        )
    from catalog.pattern import load_pattern, needs_of

    pattern = load_pattern(order.pattern)
    return pattern.title, needs_of(pattern)


def _check_photos(photos: Sequence[Path]) -> None:
    """Refuse what needs no decoding to be refused: one photo named twice."""
    seen: set[Path] = set()
    for photo in photos:
        place = photo.resolve()
        if place in seen:
            raise UsageError(f"{photo} is named twice", "name each photo of the bundle once")
        seen.add(place)


def _picture_names(count: int) -> tuple[str, ...]:
    return ("found.jpg", *(f"found-{number}.jpg" for number in range(2, count + 1)))


def _contents(result: Count) -> Mapping[str, bytes | str]:
    from catalog.report.csv_files import sets_csv, swatches_csv, tally_csv
    from catalog.report.picture import found_jpeg

    photos = result.bundle.photos
    contents: dict[str, bytes | str] = {
        "swatches.csv": swatches_csv(result.bundle.swatches),
        "sets.csv": sets_csv(result.sets),
        "tally.csv": tally_csv(result.tally),
    }
    for name, one in zip(_picture_names(len(photos)), photos, strict=True):
        contents[name] = found_jpeg(one.photo, result.bundle.swatches, result.sets)
    return contents


def _tell(order: Order, result: Count, written: Sequence[Path]) -> None:
    from cli import wording

    if order.json:
        console.say(_as_json(result, written))
        return
    for line in wording.bundle_lines(result.bundle):
        console.say(line)
    for line in wording.set_lines(result):
        console.say(line)
    console.say("")
    console.table(result.tally.title, wording.TALLY_COLUMNS, wording.tally_rows(result), words=2)
    for line in wording.verdict_lines(result.tally):
        console.say(line)
    console.say("")
    console.say("Written:")
    for path in written:
        console.say(f"  {path}")


def _as_json(result: Count, written: Sequence[Path]) -> str:
    from catalog.report.json_object import json_object

    photos = result.bundle.photos
    return json_object(
        [one.photo for one in photos],
        result.bundle.swatches,
        lights={one.photo.name: one.light for one in photos if one.light},
        cut_off={one.photo.name: one.found.cut_off for one in photos},
        matching=result.matching,
        tally=result.tally,
        files=[str(path) for path in written],
    ).rstrip("\n")
