"""The port on which a catalogue's page was open last, so that one that is still open carries on.

A page belongs to its port: what it keeps in the browser is found there alone. No key is kept: who
was let in before a restart is let in anew by the address that starts the browser.
"""

from __future__ import annotations

import contextlib
import json
import os
import socket
from pathlib import Path
from typing import Final

from catalog.errors import UsageError
from catalog.system.atomic_files import OWNER_ONLY
from cli.page.listening import listening

MAX_CATALOGUES: Final = 50
"""Catalogues of which the port is remembered, the last first."""


def listening_again(port: int, catalogue: Path) -> socket.socket:
    """Listen on a port, or on that of the last time where none is asked for and it is free.

    Parameters
    ----------
    port : int
        0 for that of the last time, else a free one.
    catalogue : Path

    Raises
    ------
    UsageError
        The port that was asked for can't be had.
    """
    known = {} if port else _known()
    one = None
    with contextlib.suppress(UsageError):
        if last := known.get(_name(catalogue), 0):
            one = listening(last)
    one = one or listening(port)
    if not port:
        _remember(catalogue, one.getsockname()[1])
    return one


def _file() -> Path:
    import platformdirs

    return Path(platformdirs.user_state_dir("calicount", appauthor=False)) / "ports.json"


def _name(catalogue: Path) -> str:
    return str(catalogue.absolute())


def _known() -> dict[str, int]:
    with contextlib.suppress(OSError, ValueError, RecursionError):
        told = json.loads(_file().read_text(encoding="utf-8"))
        if isinstance(told, dict):
            return {name: one for name, one in told.items() if _is_port(one)}
    return {}


def _is_port(one: object) -> bool:
    return isinstance(one, int) and not isinstance(one, bool) and 1024 <= one <= 65535


def _remember(catalogue: Path, port: int) -> None:
    """Note the port; that it can't be noted matters to nobody."""
    file = _file()
    others = {name: one for name, one in _known().items() if name != _name(catalogue)}
    kept = dict([(_name(catalogue), port), *others.items()][:MAX_CATALOGUES])
    part = file.with_name(f"{file.name}.{os.getpid()}.part")
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        number = os.open(part, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, OWNER_ONLY)
        with os.fdopen(number, "w", encoding="utf-8") as stream:
            json.dump(kept, stream)
        part.replace(file)
