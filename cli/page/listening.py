"""A socket on one address, and the quiet server that answers on it."""

from __future__ import annotations

import socket
from collections.abc import Callable
from ipaddress import ip_address
from typing import TYPE_CHECKING, Final

from catalog.errors import UsageError
from cli.page.guard import ADDRESS

if TYPE_CHECKING:
    import uvicorn
    from starlette.types import ASGIApp

WAITING: Final = 3
"""Seconds that ending waits for answers under way."""
_ALONE_OR_AGAIN: Final[int] = getattr(socket, "SO_EXCLUSIVEADDRUSE", socket.SO_REUSEADDR)
"""Elsewhere than on Windows a port may be had again at once; there another program could take it
from under us (Python's documentation of socket; Microsoft, "Using SO_REUSEADDR and
SO_EXCLUSIVEADDRUSE")."""


def listening(port: int, address: str = ADDRESS) -> socket.socket:
    """Return a socket that listens on one address; port 0 is a free one.

    Raises
    ------
    UsageError
        The port is taken or may not be had, or the address is none of this machine.
    """
    if not 0 <= port <= 65535:
        raise UsageError(f"there is no port {port}", "give --port from 1024 to 65535")
    sixth = ip_address(address).version == 6
    one = socket.socket(socket.AF_INET6 if sixth else socket.AF_INET, socket.SOCK_STREAM)
    try:
        one.setsockopt(socket.SOL_SOCKET, _ALONE_OR_AGAIN, 1)
        one.bind((address, port))
        one.listen(64)
    except OSError as error:
        one.close()
        raise _not_had(port, address, error) from error
    return one


def _not_had(port: int, address: str, error: OSError) -> UsageError:
    why = error.strerror or error
    if address == ADDRESS:
        return UsageError(f"port {port} can't be had ({why})", "leave --port out, or name another")
    return UsageError(f"{address} can't be listened on ({why})", "name an address of this computer")


def quiet_server(app: ASGIApp, ending: Callable[[], None] = lambda: None) -> uvicorn.Server:
    """Return a server that says nothing and takes no longer than `WAITING` to end.

    Parameters
    ----------
    app : ASGI application
    ending : callable
        Called first when it ends: answers that go on for ever must be told to end.
    """
    import uvicorn

    class Quiet(uvicorn.Server):
        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            ending()
            await super().shutdown(sockets)

    return Quiet(
        uvicorn.Config(
            app,
            loop="asyncio",
            http="h11",
            ws="none",
            lifespan="off",
            log_config=None,
            log_level=60,
            access_log=False,
            proxy_headers=False,
            server_header=False,
            timeout_graceful_shutdown=WAITING,
        )
    )
