"""Slow libraries imported while other work goes on."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType
from typing import Final

NOT_FOR_ARRAYS: Final = "pandas"
"""scikit-learn looks whether it is there, in case it is handed data frames. We hand it arrays, and
the look takes 0.2 s and 30 MB."""


def import_early(*modules: str) -> None:
    """Begin to import modules, one after another, on a thread of their own.

    scipy itself is whole before: two threads that both begin to import it, each by another of its
    parts, wait for one another, and Python then hands one of them a half-made module.
    """
    import_module("scipy")
    threading.Thread(target=_import_all, args=(modules,), daemon=True).start()


def _import_all(modules: Sequence[str]) -> None:
    with not_found_here(NOT_FOR_ARRAYS):
        for module in modules:
            import_module(module)


@contextmanager
def not_found_here(module: str) -> Iterator[None]:
    """Let this thread not find a module; other threads find it, and what is loaded stays so."""
    finder = _NotFound(module, threading.get_ident())
    sys.meta_path.insert(0, finder)
    try:
        yield
    finally:
        sys.meta_path.remove(finder)


class _NotFound(MetaPathFinder):
    def __init__(self, module: str, thread: int) -> None:
        self._module, self._thread = module, thread

    def find_spec(
        self, fullname: str, _path: Sequence[str] | None, _target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Raise where the thread asks for the module, and leave the rest to others."""
        if fullname == self._module and threading.get_ident() == self._thread:
            raise ModuleNotFoundError(f"{fullname} isn't looked for here", name=fullname)
        return None
