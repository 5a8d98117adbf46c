"""Who is let in by the second door: a code tried, slowly where it is wrong."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Final

from cli.page.table.code_throttle import CodeThrottle
from cli.page.table.devices import Device, Devices, full
from cli.page.table.invitations import Invitations

WARNING: Final = (
    "What goes between this computer and a phone or tablet on the table is not encrypted: whoever "
    "is on the same network could read it, or act in its place. Open the table on your own network "
    "at home, and not on one that strangers use."
)
"""Said wherever the second door is opened or passed."""


class Admission:
    """The codes, the guesses and the devices of one door.

    Parameters
    ----------
    clock : callable
        Seconds that only grow.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self.invitations, self.devices = Invitations(clock), Devices()
        self.throttle = CodeThrottle(clock)
        self.arrived: Callable[[Device], None] = lambda _: None
        """Told of each device that was let in."""
        self.changed: Callable[[], None] = lambda: None
        """Called when somebody came or was let in no longer."""

    def enter(self, given: str, address: str, agent: str, *, typed: bool) -> Device | float:
        """Let a device in by a code.

        Parameters
        ----------
        given : str
        address : str
            On the network.
        agent : str
            What its browser says of itself.
        typed : bool
            Whether the code was typed; else it is the long one of the QR code.

        Returns
        -------
        Device or float
            The device; or, where the code was wrong or came too soon, seconds until another may
            be tried.

        Raises
        ------
        UsageError
            As many devices as may are in.
        """
        if self.devices.is_full:
            raise full()
        wait = self.throttle.tried(
            address, lambda: self.invitations.accept(given, typed=typed), typed=typed
        )
        if wait is not None:
            return wait
        device = self.devices.let_in(agent, address)
        self.arrived(device)
        self.changed()
        return device

    def end_device(self, number: str) -> None:
        """Let a device in no longer.

        Raises
        ------
        NotThereError
            It isn't in.
        """
        self.devices.end(number)
        self.changed()

    def end(self) -> None:
        """Let nobody in any longer."""
        self.invitations.withdraw()
        self.devices.end_all()
        self.changed()
