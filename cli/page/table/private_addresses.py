"""Which addresses of this machine the second door may be opened on: private ones and no others."""

from __future__ import annotations

import socket
from collections.abc import Iterable
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from typing import Final

from catalog.errors import UsageError

Address = IPv4Address | IPv6Address

PRIVATE: Final = tuple(
    map(
        ip_network,
        (
            *("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16"),  # RFC 1918, section 3
            "fc00::/7",  # RFC 4193, section 3.1
            *("169.254.0.0/16", "fe80::/10"),  # link-local: RFC 3927, RFC 4291 section 2.5.6
        ),
    )
)
LOOPBACK: Final = tuple(map(ip_network, ("127.0.0.0/8", "::1/128")))
_FAR: Final = (("192.0.2.1", socket.AF_INET), ("2001:db8::1", socket.AF_INET6))
"""Addresses kept for examples (RFC 5737, RFC 3849): towards them the usual way out is looked up,
and nothing is sent."""
_CURE: Final = "join your own network, or name one of its addresses with --table-address"


def offered_addresses() -> list[Address]:
    """Return the private addresses at which devices may reach this machine, the likeliest first.

    That is the one by which this machine reaches other networks. An IPv6 address of one link
    alone is left out: browsers open no address with a zone in it (WHATWG, URL Standard).
    """
    import ifaddr

    ways_out = [address for address, _ in map(_way_to, _FAR) if address]
    own = (
        ip_address(one.ip if isinstance(one.ip, str) else one.ip[0])
        for adapter in ifaddr.get_adapters()
        for one in adapter.ips
    )
    fit = {one for one in own if is_private(one) and not (one.version == 6 and one.is_link_local)}
    rank = {address: place for place, address in enumerate(ways_out)}
    return sorted(fit, key=lambda one: (rank.get(one, 9), one.is_link_local, one.version, int(one)))


def address_for(said: str | None, offered: Iterable[Address] | None = None) -> Address:
    """Return the address to listen on.

    Parameters
    ----------
    said : str, optional
        As typed; the likeliest if None. A loopback address is taken where it is named.
    offered : iterable of addresses, optional
        Those of this machine, if known.

    Raises
    ------
    UsageError
        This machine has none that is private, or what was typed is none.
    """
    if said is None:
        found = next(iter(offered_addresses() if offered is None else offered), None)
        if found is None:
            raise UsageError("this computer has no address on a private network", _CURE)
        return found
    try:
        address = ip_address(said.strip().strip("[]"))
    except ValueError:
        raise UsageError(f"'{said[:60]}' is no address", "write it like 192.168.1.5") from None
    if not (is_private(address) or _is_in(address, LOOPBACK)):
        raise UsageError(f"{address} is not on a private network", "name an address of your own")
    return address


def is_private(address: Address) -> bool:
    """Tell whether an address is one of a private network or of one link."""
    return _is_in(address, PRIVATE)


def is_near(said: str) -> bool:
    """Tell whether who asks from an address is on a private network or this very machine."""
    try:
        address = ip_address(said.partition("%")[0])
    except ValueError:
        return False
    return is_private(address) or _is_in(address, LOOPBACK)


def host_of(address: Address, port: int) -> str:
    """Return how a browser names an address and port in ``Host``."""
    name = f"[{address.compressed}]" if address.version == 6 else str(address)
    return name if port == 80 else f"{name}:{port}"


def _is_in(address: Address, networks: Iterable[object]) -> bool:
    return any(address in network for network in networks)  # type: ignore[operator]


def _way_to(far: tuple[str, socket.AddressFamily]) -> tuple[Address | None, str]:
    """Return the address from which this machine would send to another."""
    name, family = far
    try:
        with socket.socket(family, socket.SOCK_DGRAM) as one:
            one.connect((name, 9))
            return ip_address(one.getsockname()[0].partition("%")[0]), name
    except OSError:
        return None, name
