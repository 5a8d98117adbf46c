"""The second door as its owner sees it: open, shut, who is in, the code and its picture."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Annotated, Any

from msgspec import Meta
from starlette.responses import Response
from starlette.routing import Route

from cli.page.input_checks import read
from cli.page.routes.http_answers import NotThereError, PageRequest, answering, told
from cli.page.table.admission import WARNING
from cli.page.table.qr_codes import qr_svg

if TYPE_CHECKING:
    from cli.page.table.devices import Device
    from cli.page.table.table_door import TableDoor

AddressText = Annotated[str, Meta(max_length=60, description="an address")]


class TableRoutes:
    """The answers to the owner of the second door."""

    def __init__(self, door: TableDoor) -> None:
        self.door = door

    def routes(self) -> list[Route]:
        """Return its addresses."""
        reads = {"/api/table": self.show, "/api/table/code.svg": self.picture}
        posts = {
            "/api/table/open": self.open,
            "/api/table/close": self.close,
            "/api/table/code": self.invite,
            "/api/table/devices/{device}/end": self.end,
        }
        return [
            *(
                Route(at, answering(tell, quick=True), methods=["GET"])
                for at, tell in reads.items()
            ),
            *(Route(at, answering(tell), methods=["POST"]) for at, tell in posts.items()),
        ]

    def show(self, _: PageRequest) -> Response:
        """Answer how the door stands."""
        return told(self._view())

    def open(self, asked: PageRequest) -> Response:
        """Open it, on the address that was chosen if any."""
        self.door.open(read(asked.body, "address", AddressText | None))
        return told(self._view())

    def close(self, _: PageRequest) -> Response:
        """Shut it."""
        self.door.close()
        return told(self._view())

    def invite(self, _: PageRequest) -> Response:
        """Make a new code, for one more device."""
        self.door.invite()
        return told(self._view())

    def end(self, asked: PageRequest) -> Response:
        """Let a device in no longer."""
        self.door.admission.end_device(asked.path["device"])
        return told(self._view())

    def picture(self, _: PageRequest) -> Response:
        """Answer with the QR code."""
        entrance = self.door.entrance
        if not entrance:
            raise NotThereError("no code stands at the moment", "ask for a new one")
        return Response(qr_svg(entrance), media_type="image/svg+xml")

    def _view(self) -> dict[str, Any]:
        held = self.door.admission.invitations.standing if self.door.is_open else None
        return {
            "open": self.door.is_open,
            "address": self.door.origin,
            "offers": self.door.offers(),
            "cut_off": self.door.is_cut_off,
            "code": held[0].spoken if held else "",
            "seconds": math.floor(held[1]) if held else 0,
            "devices": [_device(one) for one in self.door.admission.devices],
            "warning": WARNING,
        }


def _device(one: Device) -> dict[str, Any]:
    return {
        "id": one.id,
        "kind": one.kind,
        "address": one.address,
        "since": one.since.isoformat(timespec="seconds"),
        "seen": one.seen.isoformat(timespec="seconds"),
    }
