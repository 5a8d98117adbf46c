"""The second door itself: a socket on one private address, opened when asked for and shut again."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from ipaddress import ip_address
from threading import RLock, Thread
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError
from cli.page.listening import WAITING, listening, quiet_server
from cli.page.table.admission import Admission
from cli.page.table.private_addresses import (
    LOOPBACK,
    Address,
    address_for,
    host_of,
    offered_addresses,
)

if TYPE_CHECKING:
    import socket

    import uvicorn

    from cli.page.photo_jobs import Jobs
    from cli.page.server_state import ServerState

PORT: Final = 7340
"""Of the second door where it is free (choice of ours). It stays from one time to the next, so that
a phone still holds what it had not sent: browsers keep that by address and port."""


@dataclass(frozen=True, eq=False)
class _Standing:
    """A door that is open."""

    address: Address
    port: int
    server: uvicorn.Server
    thread: Thread


class TableDoor:
    """Shut until it is asked for.

    Parameters
    ----------
    state : ServerState
    jobs : Jobs
    clock : callable
        Seconds that only grow.
    """

    def __init__(
        self, state: ServerState, jobs: Jobs, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._state, self._jobs, self._lock = state, jobs, RLock()
        self.admission = Admission(clock)
        self.admission.changed = self._tell
        self._open: _Standing | None = None

    def open(self, said: str | None = None, port: int | None = None) -> None:
        """Open the door on an address, and invite one device.

        Parameters
        ----------
        said : str, optional
            The address; the likeliest of this machine if None.
        port : int, optional
            `PORT`, or any other where that is taken, if None.

        Raises
        ------
        UsageError
            This machine has no such address, or it is not private.
        """
        with self._lock:
            address = address_for(said)
            if self._open is not None and self._open.address != address:
                self.close()
            if self._open is None:
                self._open = self._opened(address, port)
            self.admission.invitations.renew()

    def invite(self) -> None:
        """Let one more device in.

        Raises
        ------
        UsageError
            The door is shut.
        """
        with self._lock:
            if self._open is None:
                raise UsageError("the table is not open", "open it first")
            self.admission.invitations.renew()

    def close(self) -> None:
        """Shut the door: who is in, is out."""
        with self._lock:
            self.admission.end()
            if self._open is not None:
                self._open.server.should_exit = True
                self._open.thread.join(2 * WAITING)
                self._open.server.force_exit = True
                self._open = None

    @property
    def is_open(self) -> bool:
        """Whether it is."""
        return self._open is not None

    @property
    def origin(self) -> str:
        """The address that devices open, such as ``http://192.168.1.5:7340``; empty when shut."""
        standing = self._open
        return f"http://{host_of(standing.address, standing.port)}" if standing else ""

    @property
    def entrance(self) -> str:
        """What the QR code holds: the address with the long code; empty where none stands.

        The code stands behind ``#``, which browsers send to nobody: one that looks at an address
        beforehand doesn't use it up.
        """
        held = self.admission.invitations.standing
        return f"{self.origin}/#{held[0].token}" if held and self.is_open else ""

    def offers(self) -> Sequence[str]:
        """Return the addresses on which it may be opened, the likeliest first."""
        return [str(one) for one in offered_addresses()]

    @property
    def is_cut_off(self) -> bool:
        """Whether this machine no longer has the address, as when it joined another network."""
        standing = self._open
        if standing is None or any(standing.address in one for one in LOOPBACK):
            return False
        return standing.address not in offered_addresses()

    def _tell(self) -> None:
        """Wake who listens: a line to a device that is let in no longer ends by that."""
        now = {"devices": [one.id for one in self.admission.devices]}
        self._state.events.tell("table", {**now, "at": time.monotonic()})

    def _opened(self, address: Address, port: int | None) -> _Standing:
        from cli.page.table.table_app import make_table_app

        one = _socket(str(address), port)
        number = one.getsockname()[1]
        host, cookie = host_of(address, number), f"calicount-table-{number}"
        server = quiet_server(make_table_app(self._state, self._jobs, self.admission, host, cookie))
        thread = Thread(target=server.run, args=([one],), name="table", daemon=True)
        thread.start()
        while not server.started and thread.is_alive():
            time.sleep(0.01)
        return _Standing(ip_address(str(address)), number, server, thread)


def _socket(address: str, port: int | None) -> socket.socket:
    if port is not None:
        return listening(port, address)
    try:
        return listening(PORT, address)
    except UsageError:
        return listening(0, address)
