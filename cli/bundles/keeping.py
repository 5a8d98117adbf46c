"""``calicount check-up``, ``export`` and ``import``: whether all is well, and copies elsewhere."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import EXIT_USAGE, CatalogueError
from catalog.phrases import count_of, joined
from cli import completion, console
from cli.bundles.open_bundle import opened, quoted
from cli.options import BundleName, Manner, MannerJsonFirst, ReplaceFlag

if TYPE_CHECKING:
    from collections.abc import Callable

    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.store.integrity import CheckUp

MAX_FAULTS_TOLD = 20
"""Faults told one by one on the terminal."""


@dataclass(frozen=True)
class CheckUpRequest:
    """What a check-up is to do beside looking."""

    copy: Annotated[
        Path | None,
        typer.Option(help="Copy the whole catalogue into this file as well.", metavar="FILE"),
    ] = None
    mend: Annotated[
        bool, typer.Option("--mend", help="Measure and list anew what isn't as photos and you say.")
    ] = False
    as_is: Annotated[
        bool,
        typer.Option("--keep-as-is", help="Go on with what something else changed, as it is now."),
    ] = False
    replace: ReplaceFlag = False


def check_up(request: CheckUpRequest, *, manner: MannerJsonFirst) -> None:
    """Check that the catalogue is whole, and say what to do where it isn't.

    It reads the file through, compares every photo with the day it came, and works out anew from
    photos and corrections what your bundles hold.

    For example:

    calicount check-up

    calicount check-up --copy "bundles copy.catalogue"
    """
    from catalog.catalogue.store.integrity import check_up as check
    from catalog.catalogue.store.integrity import last_resort
    from catalog.catalogue.store.repair import keep_as_is

    _refuse_missing(manner.catalogue)
    with (
        last_resort(),
        opened(manner, reading=not (request.mend or request.as_is)) as kept,
        console.progress() as tell,
    ):
        if request.as_is:
            keep_as_is(kept.connection)
        found = check(kept.connection, tell)
        if request.mend and any(one.mendable for one in found.faults):
            _mend(kept, found, tell)
            found = check(kept.connection, tell)
        if request.copy is not None:
            from catalog.catalogue.store.file_copy import copy_to

            tell("copying")
            copy_to(kept.connection, kept.path, request.copy, over=request.replace)
    _say(found, kept.path, request.copy, manner)
    if not found.well:
        raise typer.Exit(EXIT_USAGE)


def export(
    name: BundleName,
    file: Annotated[Path, typer.Argument(help="The file to write, such as blues.zip.")],
    photo_data: Annotated[
        bool,
        typer.Option(
            "--with-photo-data", help="Leave in the photos what they say of place, time and camera."
        ),
    ] = False,
    pattern: Annotated[
        list[str] | None,
        typer.Option(
            help="A pattern of yours to put in too, beside those that it was counted or set "
            "aside for; may be repeated.",
            metavar="NAME",
            autocompletion=completion.own_patterns,
        ),
    ] = None,
    replace: ReplaceFlag = False,
    *,
    manner: MannerJsonFirst,
) -> None:
    """Write a bundle into one file: its photos, its squares and all that you said and did.

    The file is a plain zip; calicount import takes it in again, here or elsewhere. What the photos'
    files say of place, time and camera is left out; their pixels stay as they are.

    For example:

    calicount export blues blues.zip
    """
    from catalog.catalogue.archive.bundle_archive import export_bundle
    from catalog.catalogue.store.catalogue_file import explained

    with opened(manner, reading=True) as kept, explained(kept.path):
        called = export_bundle(
            kept.connection, name, file, over=replace, photo_data=photo_data, patterns=pattern or ()
        )
    data = (
        "what its photos say of place, time and camera is in it too"
        if photo_data
        else "what its photos said of place, time and camera is left out"
    )
    console.answer(
        manner,
        lambda: {"bundle": called, "file": str(file), "photo_data": photo_data},
        lambda: console.tell(f"{called} is in '{file}'; {data}."),
    )


def import_(
    file: Annotated[Path, typer.Argument(help="What calicount export wrote.")],
    called: Annotated[
        str | None, typer.Option("--as", help="Give it another name.", metavar="BUNDLE")
    ] = None,
    *,
    manner: MannerJsonFirst,
) -> None:
    """Take in a bundle that was exported, exactly as it was.

    For example:

    calicount import blues.zip

    calicount import blues.zip --as "blues from the sale"
    """
    from catalog.catalogue.archive.archive_import import import_bundle
    from catalog.catalogue.store.catalogue_file import explained

    with opened(manner) as kept, explained(kept.path):
        name = import_bundle(kept.connection, file, called)
        squares = len(kept.bundle(name).swatches)
    said = f"{name} is kept, with {squares} squares; calicount show {quoted(name)} lists them."
    console.answer(
        manner,
        lambda: {"bundle": name, "file": str(file), "squares": squares},
        lambda: console.tell(said),
    )


def _refuse_missing(catalogue: Path | None) -> None:
    from catalog.catalogue.store.catalogue_file import default_file

    place = catalogue or default_file()
    if not place.exists():
        raise CatalogueError(
            f"nothing is kept at '{place}' yet", "keep a bundle with: calicount add NAME PHOTO"
        )


def _mend(kept: Catalogue, found: CheckUp, tell: Callable[[str], None]) -> None:
    """Measure and list bundles anew, save those whose photos are gone."""
    from catalog.catalogue.store.repair import mend

    lost = {one.bundle for one in found.faults if not one.mendable}
    for name in dict.fromkeys(one.bundle for one in found.faults if one.mendable):
        if name not in lost:
            mend(kept.connection, name, tell)


def _holdings_of(found: CheckUp) -> str:
    """Say what a catalogue holds."""
    held = [
        count_of(found.bundles, "bundle"),
        count_of(found.photos, "photo"),
        count_of(found.squares, "square"),
        *([count_of(found.patterns, "pattern")] if found.patterns else []),
        f"{count_of(found.deeds, 'note')} of yours",
    ]
    return joined(held)


def _say(found: CheckUp, place: Path, copy: Path | None, manner: Manner) -> None:
    if manner.json:
        told = {"file": str(place), "well": found.well, "copy": str(copy) if copy else None}
        console.say_json(console.json_text({**told, **asdict(found)}))
        return
    if found.well and not manner.quiet:
        console.tell(
            f"All is well: {_holdings_of(found)} in '{place}' are whole and agree with each other."
        )
    for fault in found.faults[:MAX_FAULTS_TOLD]:
        console.complain(f"{fault.what}; {fault.cure}.")
    more = len(found.faults) - MAX_FAULTS_TOLD
    if more > 0:
        console.complain(f"{more} more are wrong; --json lists them all.")
    if copy is not None and not manner.quiet:
        console.tell(f"A copy is in '{copy}'{'' if found.well else ', faults and all'}.")
