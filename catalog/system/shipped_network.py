"""The networks that are shipped with the package."""

from __future__ import annotations

import contextlib
import ctypes
import threading
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    import cv2

_own = threading.local()


def network(room: str, name: str, *, one_picture: bool = False) -> cv2.dnn.Net:
    """Return the thread's own network: it keeps in itself what it is looking at.

    Parameters
    ----------
    room : str
        The package that it is shipped in.
    name : str
        Of its file, without the ending.
    one_picture : bool
        Whether it is shown a single large picture, not many small ones. OpenCV's older engine
        knows Winograd's way of convolving such, and takes two thirds of the time of the newer.
    """
    known: dict[str, cv2.dnn.Net] = _own.__dict__
    if name not in known:
        known[name] = _read(files(room).joinpath(f"{name}.onnx"), one_picture)
    return known[name]


def _read(weights: Traversable, one_picture: bool) -> cv2.dnn.Net:
    import cv2
    import numpy as np

    if one_picture:  # which engine is to be taken is heeded for files alone
        with contextlib.suppress(cv2.error), as_file(weights) as path:
            return cv2.dnn.readNetFromONNX(str(path), engine=cv2.dnn.ENGINE_CLASSIC)
    return cv2.dnn.readNetFromONNX(np.frombuffer(weights.read_bytes(), np.uint8))


def forget_networks() -> None:
    """Forget the thread's own networks, which hold all that they worked out of the last picture.

    That is 90 MB after a photo of 12 megapixels. The C library of most Linux systems keeps what was
    freed for later, so it is told to give it back; others do by themselves.
    """
    _own.__dict__.clear()
    with contextlib.suppress(AttributeError, OSError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)
