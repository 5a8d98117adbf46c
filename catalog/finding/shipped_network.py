"""The networks that are shipped with the package."""

from __future__ import annotations

import threading
from importlib.resources import files

import cv2
import numpy as np

_own = threading.local()


def network(name: str) -> cv2.dnn.Net:
    """Return the thread's own network of this name: it keeps in itself what it is looking at."""
    known: dict[str, cv2.dnn.Net] = _own.__dict__
    if name not in known:
        weights = files("catalog.finding").joinpath(f"{name}.onnx").read_bytes()
        known[name] = cv2.dnn.readNetFromONNX(np.frombuffer(weights, np.uint8))
    return known[name]
