"""Linear algebra on one thread, so that answers don't hang on how many threads a machine has."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from functools import cache, wraps
from typing import Any, ParamSpec, TypeVar

_Taken = ParamSpec("_Taken")
_Given = TypeVar("_Given")

_one_at_a_time = threading.Lock()


def on_one_thread(stage: Callable[_Taken, _Given]) -> Callable[_Taken, _Given]:
    """Make a stage keep BLAS and LAPACK to one thread of their own, from its start on.

    How they share a product of matrices or a least-squares problem out among threads decides in
    which order its terms are summed, and so its last bits; robust fits then end elsewhere: corners
    1e-3 px, colours 0.01 apart. (OpenCV's threads share out what is computed for each pixel by
    itself, networks included, and change no bit.)

    It stays so in this process, because most builds of these libraries have one setting for all of
    Python's threads: set back by one that has ended, it would change under another that hasn't.
    """

    @wraps(stage)
    def pinned(*args: _Taken.args, **named: _Taken.kwargs) -> _Given:
        _hold_to_one()
        return stage(*args, **named)

    return pinned


def least_squares_on_one_thread() -> Any:  # noqa: ANN401 - it has a dozen forms
    """Return SciPy's ``least_squares``, whose linear algebra keeps to one thread from now on.

    Nothing else that the stages take from SciPy asks its BLAS, which so is loaded for few photos.
    """
    from scipy.optimize import least_squares

    _hold_to_one()
    return least_squares


def _hold_to_one() -> None:
    with _one_at_a_time:
        parts = sum(name.startswith("scipy.linalg.") for name in list(sys.modules))
        _libraries(parts).limit(limits=1, user_api="blas")


@cache
def _libraries(_scipy_parts: int) -> Any:  # noqa: ANN401 - threadpoolctl has no types
    """Return what sets the threads of the libraries of this process.

    Parameters
    ----------
    _scipy_parts : int
        How many parts of SciPy's linear algebra are imported. Any may have loaded its BLAS, and
        what isn't loaded yet can't be set; the package itself may be waiting.
    """
    import cv2  # noqa: F401 - it and SciPy bring a BLAS each beside NumPy's, to be there to be set
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()
