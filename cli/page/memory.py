"""What was worked out last, so that it isn't worked out twice."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any, TypeVar

T = TypeVar("T")


class Memory:
    """What was worked out last, by what it was worked out from; the oldest is let go."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, Lock()
        self._held: OrderedDict[Hashable, Any] = OrderedDict()

    def of(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what is known under a key, made if it isn't."""
        with self._lock:
            if key in self._held:
                self._held.move_to_end(key)
                known: T = self._held[key]
                return known
        made = make()
        self.put(key, made)
        return made

    def get(self, key: Hashable) -> Any:  # noqa: ANN401 - whatever was put there
        """Return what is known under a key; None where nothing is."""
        with self._lock:
            return self._held.get(key)

    def put(self, key: Hashable, made: object) -> None:
        """Keep something that was made elsewhere."""
        with self._lock:
            self._held[key] = made
            self._held.move_to_end(key)
            while len(self._held) > self._most:
                self._held.popitem(last=False)
