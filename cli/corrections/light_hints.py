"""``calicount light``: what is white, grey or under the squares, said once for a kept bundle."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, cast

import typer

from catalog.errors import UsageError
from cli import completion, console
from cli.bundles.named_squares import number_of, photo_of
from cli.bundles.open_bundle import change, opened
from cli.bundles.show import light_lines
from cli.corrections.said_of_bundle import Event, StoredBundle, events
from cli.options import (
    BundleName,
    InsistFlag,
    LampOption,
    Manner,
    PhotoNumber,
)

if TYPE_CHECKING:
    from catalog.models import Ground

NONE = "none"
"""Word for no square."""


class GroundWord(StrEnum):
    """What the squares lie on."""

    white = "white"
    grey = "grey"
    wood = "wood"
    mat = "mat"
    other = "other"
    by_looks = "by-looks"


def _square_help(what: str) -> typer.models.OptionInfo:
    """Return the option of a square that is something, or of none."""
    found: typer.models.OptionInfo = typer.Option(
        help=f"A square that is {what}; none for none.",
        metavar="SQUARE",
        autocompletion=completion.squares,
    )
    return found


@dataclass(frozen=True)
class LightOptions:
    """What is said of the light; see `cli.command_class.spread_out`."""

    white: Annotated[str | None, _square_help("white cloth")] = None
    grey: Annotated[str | None, _square_help("a neutral grey")] = None
    ground: Annotated[
        GroundWord | None,
        typer.Option(help="What the squares lie on; by-looks leaves it to calicount."),
    ] = None
    lamp: LampOption = None
    photo: PhotoNumber = None


def light(
    name: BundleName, *, options: LightOptions, yes: InsistFlag = False, manner: Manner
) -> None:
    """Say what is white, grey or under the squares, or whether a lamp was on.

    Colours are then judged by it.

    Without an option, tell what each photo's colours are judged by. A square that isn't near white
    or grey in the photo is taken for it only with --yes.

    For example:

    calicount light blues --white R1C4

    calicount light blues --ground wood --photo 2

    calicount light blues --lamp
    """
    if options.photo is not None and options.ground is None and options.lamp is None:
        raise UsageError(
            "--photo says for which photo --ground or --lamp is meant", "add --ground or --lamp"
        )
    if options == LightOptions():
        _show(name, manner)
        return

    def said(_: object, kept: StoredBundle) -> list[Event]:
        found = _events(kept, options)
        if not yes:
            _question(kept, options)
        return found

    after = change(name, manner, said)
    if not (manner.quiet or manner.json):
        console.tell_lines(light_lines(after))


def _events(kept: StoredBundle, options: LightOptions) -> list[Event]:
    said: list[Event] = []
    is_white = kept.state.white if options.white is None else _square(kept, options.white)
    is_grey = kept.state.grey if options.grey is None else _square(kept, options.grey)
    if is_white is not None and is_white == is_grey:
        other = "--white" if options.white is None else "--grey"
        raise UsageError(
            f"{kept.label(is_white)} can't be both white and grey",
            f"name another square, or let go of the one with {other} none",
        )
    if options.white is not None:
        said.append(events.WhiteSquare(is_white))
    if options.grey is not None:
        said.append(events.GreySquare(is_grey))
    photos = kept.photos if options.photo is None else (photo_of(kept, options.photo),)
    if options.ground is not None:
        looks = options.ground is GroundWord.by_looks
        under = None if looks else cast("Ground", options.ground.value)
        said += [events.PhotoGround(one.id, under) for one in photos]
    if options.lamp is not None:
        said += [events.PhotoLamp(one.id, options.lamp) for one in photos]
    return said


def _question(kept: StoredBundle, options: LightOptions) -> None:
    """Ask about a square that the photo shows otherwise."""
    from cli.corrections.questioned import question_grey, question_white

    for label, question in ((options.white, question_white), (options.grey, question_grey)):
        number = None if label is None else _square(kept, label)
        if number is not None:
            question(kept, number)


def _square(kept: StoredBundle, label: str) -> int | None:
    return None if label.strip().lower() == NONE else number_of(kept, label)


def _show(name: str, manner: Manner) -> None:
    with opened(manner, reading=True) as catalogue:
        kept = catalogue.bundle(name)
    from cli.bundles.bundle_json import photo_object

    photos = [photo_object(kept, photo) for photo in kept.photos]
    console.answer(
        manner,
        lambda: {"bundle": kept.name, "photos": photos},
        lambda: console.tell_lines(light_lines(kept)),
    )
