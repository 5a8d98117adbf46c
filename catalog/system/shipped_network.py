"""The networks that are shipped with the package."""

from __future__ import annotations

import contextlib
import ctypes
import threading
from importlib.resources import files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import cv2

_own = threading.local()


def network(room: str, name: str) -> cv2.dnn.Net:
    """Return the thread's own network: it keeps in itself what it is looking at.

    Parameters
    ----------
    room : str
        The package that it is shipped in.
    name : str
        Of its file, without the ending.
    """
    import cv2
    import numpy as np

    known: dict[str, cv2.dnn.Net] = _own.__dict__
    if name not in known:
        weights = files(room).joinpath(f"{name}.onnx").read_bytes()
        known[name] = cv2.dnn.readNetFromONNX(np.frombuffer(weights, np.uint8))
    return known[name]


def forget_networks() -> None:
    """Forget the thread's own networks, which hold all that they worked out of the last picture.

    That is 90 MB after a photo of 12 megapixels. The C library of most Linux systems keeps what was
    freed for later, so it is told to give it back; others do by themselves.
    """
    _own.__dict__.clear()
    with contextlib.suppress(AttributeError, OSError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)
