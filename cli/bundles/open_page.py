"""``calicount open``: the page on which a bundle is looked over, sorted and planned."""

from __future__ import annotations

import contextlib
import os
import sys
import webbrowser
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import UsageError
from cli import completion, console
from cli.options import CatalogueOption, QuietFlag, length, number

if TYPE_CHECKING:
    from cli.page.photo_jobs import Jobs
    from cli.page.server_state import ServerState
    from cli.page.table.table_door import TableDoor


@dataclass(frozen=True)
class OpenRequest:
    """What the page is to show first, and how it is opened."""

    what: Annotated[
        list[str] | None,
        typer.Argument(
            help="A bundle that you keep, or photos to keep as one.",
            metavar="BUNDLE|PHOTO",
            autocompletion=completion.bundles,
        ),
    ] = None
    name: Annotated[
        str | None, typer.Option(help="What to call the bundle of these photos.", metavar="NAME")
    ] = None
    side: Annotated[
        str | None,
        length("Side of its squares; else 5 inches.", "--square"),
    ] = None
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address of the page.", metavar="")
    ] = False
    port: Annotated[int, number("Port to answer on; 0 is that of the last time.")] = 0
    table: Annotated[
        bool,
        typer.Option(
            "--table",
            help="Let a phone or tablet on your own network in, too: by a code, unencrypted.",
            metavar="",
        ),
    ] = False
    table_address: Annotated[
        str | None,
        typer.Option(
            help="With --table: which of this computer's addresses it asks.", metavar="ADDRESS"
        ),
    ] = None

    def photos(self) -> list[Path]:
        """Return the photos that are to be kept; none where a bundle is to be opened.

        Raises
        ------
        UsageError
            What was typed doesn't go together.
        """
        words = self.what or []
        photos = [Path(word) for word in words if _is_file(word)]
        if photos and len(photos) < len(words):
            missing = next(word for word in words if not _is_file(word))
            raise UsageError(f"there is no photo '{missing}'", "check the name and the folder")
        if len(words) > 1 and not photos:
            raise UsageError("only one bundle can be opened at a time", "name one, or photos")
        if not photos and (self.name is not None or self.side is not None):
            option = "--name" if self.name is not None else "--square"
            raise UsageError(f"{option} is for photos that are to be kept", "name photos too")
        return photos

    def refuse_senseless(self) -> None:
        """Refuse an address of the table where no table is asked for.

        Raises
        ------
        UsageError
        """
        if self.table_address is not None and not self.table:
            raise UsageError("--table-address says where the table opens", "add --table")


def open_(
    request: OpenRequest, catalogue: CatalogueOption = None, quiet: QuietFlag = False
) -> None:
    """Open the sorting page in your browser; nothing leaves this computer.

    Ctrl-C ends it; everything that you did is kept. With --table a phone or tablet on your own
    network comes in by a code, to send photos and to see block by block what is sewn; what goes
    between the two is not encrypted.

    For example:

    calicount open

    calicount open "Blue bundle"

    calicount open left.jpg right.jpg --name "Blue bundle"

    calicount open "Blue bundle" --table
    """
    request.refuse_senseless()
    photos = request.photos()
    from catalog.catalogue.bundle_catalogue import Catalogue
    from cli.bundles.table_words import arrived_line, invitation_lines
    from cli.page.serving import serve

    Catalogue(catalogue, tell=console.mention_work).close()  # before anybody waits for the page

    lines: list[str] = []

    def prepare(state: ServerState, jobs: Jobs, door: TableDoor) -> None:
        if not quiet:
            door.admission.arrived = lambda device: console.mention(arrived_line(device))
        if request.table:
            door.open(request.table_address)
            lines.extend(invitation_lines(door))
        if photos:
            _add(state, jobs, photos, request)
        elif request.what:
            with state.catalogue() as kept:
                state.opened_with = kept.bundle(request.what[0]).id

    def opened(address: str, once: str) -> None:
        console.say(address)
        sys.stdout.flush()
        if not request.no_browser:
            with contextlib.suppress(webbrowser.Error, OSError):  # the address is there to be typed
                webbrowser.open(once)
        if not quiet:
            console.mention("The page is open. Ctrl-C ends it; everything you did is kept.")
            for line in lines:
                console.mention(line)

    serve(catalogue, request.port, prepare, opened)


def _is_file(word: str) -> bool:
    return os.path.isfile(word)  # noqa: PTH113 - a word may be too long to be asked of


def _add(state: ServerState, jobs: Jobs, photos: list[Path], request: OpenRequest) -> None:
    """Put photos in the row, copied as they are now."""
    from catalog.photo import read_content

    name = request.name if request.name is not None else photos[0].stem
    for photo in photos:
        content = read_content(photo)
        job = jobs.reserve(photo.name, name, request.side)
        job.file.write_bytes(content)
        jobs.start(job, len(content))
