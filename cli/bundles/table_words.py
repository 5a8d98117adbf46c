"""What ``calicount open --table`` says of the second door: pure, values in and lines out."""

from __future__ import annotations

import sys
import textwrap
from typing import TYPE_CHECKING, Final

from cli.page.table.admission import WARNING
from cli.page.table.qr_codes import qr_text

if TYPE_CHECKING:
    from cli.page.table.devices import Device
    from cli.page.table.table_door import TableDoor

COLUMNS: Final = 79
"""Letters to a line, of the eighty that a terminal has at least (`common practice`)."""


def invitation_lines(door: TableDoor, encoding: str | None = None) -> list[str]:
    """Return how a device comes in: the QR code, the address and the code, and the warning.

    Parameters
    ----------
    door : TableDoor
        Open, with a code that stands.
    encoding : str, optional
        Of where the lines are shown; that of standard error if None. The QR code is left out where
        its blocks can't be written.
    """
    held = door.admission.invitations.standing
    if held is None:
        return []
    picture = qr_text(door.entrance)
    shown = _can_show(picture, encoding or sys.stderr.encoding)
    told = "The table is open for one phone or tablet, once, for ten minutes."
    way = "Point its camera at the picture, or open on it" if shown else "Open on it"
    ends = (
        "It ends with this command. The page (More, Phone or tablet) shows who is in and ends it, "
    )
    return [
        "",
        *_wrapped(f"{told} {way}"),
        f"{door.origin} and type the code {held[0].spoken}",
        *(["", *picture.split("\n")] if shown else []),
        "",
        *_wrapped(WARNING),
        *_wrapped(f"{ends}and makes the next code."),
    ]


def arrived_line(device: Device) -> str:
    """Return what is said when a device was let in."""
    article = "A" if device.kind != "device" else "Another"
    return f"{article} {device.kind} is on the table now ({device.address})."


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, COLUMNS, break_long_words=False, break_on_hyphens=False)


def _can_show(picture: str, encoding: str | None) -> bool:
    try:
        picture.encode(encoding or "ascii")
    except (UnicodeError, LookupError):
        return False
    return True
