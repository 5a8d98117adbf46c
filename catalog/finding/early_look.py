"""A photo that is read and looked at for squares while other work goes on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from catalog.finding.detector import Detections, detect, read_detector
from catalog.image_pyramid import image_pyramid
from catalog.models import Photo
from catalog.system.beside import begun
from catalog.system.shipped_network import forget_networks


@dataclass(frozen=True, eq=False)
class EarlyLook:
    """What has been begun to be made of a file's pixels; each waits for what it gives."""

    photo: Callable[[], Photo]
    levels: Callable[[], list[NDArray[np.uint8]]]
    """The photo and halves of it (see `image_pyramid`)."""
    detections: Callable[[], Detections]


def begin_look(photo: Callable[[], Photo]) -> EarlyLook:
    """Begin to look for squares in a photo that is being read.

    Parameters
    ----------
    photo : callable
        Waits for the photo, or raises what is wrong with it.
    """
    levels = begun(lambda: image_pyramid(photo().pixels))
    return EarlyLook(photo, levels, begun(partial(_detected, levels)))


def _detected(levels: Callable[[], list[NDArray[np.uint8]]]) -> Detections:
    read_detector()  # while the photo is read
    try:
        return detect(levels())
    finally:
        forget_networks()
