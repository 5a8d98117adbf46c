"""Functions and classes that have their names before the module that holds them is run."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final


class LateName:
    """Passes for a function or a class until it is used: called, looked at, inherited from.

    Parameters
    ----------
    fetch : callable
        Gives what it passes for, for which its module is run.
    """

    def __init__(self, fetch: Callable[[], Any]) -> None:
        self._fetch: Final = fetch

    def __call__(self, *args: object, **kwargs: object) -> object:
        """Call what it passes for."""
        return self._fetch()(*args, **kwargs)

    def __getattr__(self, name: str) -> object:
        return getattr(self._fetch(), name)

    def __getitem__(self, item: Any) -> LateName:  # noqa: ANN401 - kinds, or what stands for them
        return LateName(lambda: self._fetch()[item])

    def __or__(self, other: Any) -> LateName:  # noqa: ANN401 - any kind, or None
        return LateName(lambda: self._fetch() | other)

    def __ror__(self, other: Any) -> LateName:  # noqa: ANN401 - any kind, or None
        return LateName(lambda: other | self._fetch())

    def __get__(self, one: object, kind: type | None = None) -> object:
        real = self._fetch()  # of a class that has it as a method
        return real.__get__(one, kind) if hasattr(real, "__get__") else real

    def __mro_entries__(self, _bases: tuple[object, ...]) -> tuple[Any, ...]:
        return (self._fetch(),)

    def __instancecheck__(self, one: object) -> bool:
        return isinstance(one, self._fetch())

    def __subclasscheck__(self, one: type) -> bool:
        return issubclass(one, self._fetch())


class LateFrameCheck(LateName):
    """Passes for a function that tells whether something is a data frame: an array isn't.

    Nothing is run to tell that.
    """

    def __call__(self, *args: object, **kwargs: object) -> object:
        """Call what it passes for, unless it is asked of an array."""
        import numpy as np

        if [type(one) for one in args] == [np.ndarray] and not kwargs:
            return False
        return super().__call__(*args, **kwargs)
