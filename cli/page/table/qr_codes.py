"""An address as a QR code: a picture for the page, text for a terminal."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import segno

QUIET_ZONE: Final = 4
"""Modules of white round a QR code (ISO/IEC 18004, as remembered)."""
MODULE_PX: Final = 5


def qr_svg(address: str) -> bytes:
    """Return an SVG picture, black on white in any surround."""
    out = io.BytesIO()
    _code(address).save(
        out, kind="svg", scale=MODULE_PX, border=QUIET_ZONE, dark="#000", light="#fff"
    )
    return out.getvalue()


def qr_text(address: str) -> str:
    """Return lines of half blocks, light where the terminal writes: two rows of modules a line."""
    out = io.StringIO()
    _code(address).terminal(out, border=QUIET_ZONE, compact=True)
    return out.getvalue().rstrip("\n")


def _code(address: str) -> segno.QRCode:
    import segno

    return segno.make_qr(address, error="m")
