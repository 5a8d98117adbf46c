"""Modules that are found but not run until something is asked of them.

A package runs all of its parts when one is imported: a tree of clusters costs a second of
statistics, splines and progress bars that nobody calls. One that waits passes for imported, so that
a part of it can be by itself; whoever asks it for anything else gets the whole.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import partial
from importlib import import_module
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Final

_waiting: Final[dict[str, ModuleType]] = {}
"""By name, what hasn't been run."""
_asked_for: Final[dict[str, ModuleType]] = {}
"""By name, what is to be run next."""
_one_at_a_time: Final = threading.Lock()


def defer(name: str, given_by: Mapping[str, str] | None = None) -> None:
    """Let a module wait, unless it was imported before or isn't there.

    Parameters
    ----------
    name : str
        Its whole name; the package that it is in is imported.
    given_by : mapping of str to str, optional
        Of what is asked of a package, which of its parts gives it. Where there is no such part any
        more the whole package is run.
    """
    spec = None
    if name not in sys.modules:
        with suppress(ImportError):
            spec = find_spec(name)
    if spec is None or spec.loader is None:
        return
    module = module_from_spec(spec)
    vars(module).update(
        __getattr__=partial(_given, module, given_by or {}), __dir__=partial(_listed, name)
    )
    _waiting[name] = module
    if sys.modules.setdefault(name, module) is not module:
        del _waiting[name]
        return
    package, _, part = name.rpartition(".")
    if package:
        vars(sys.modules[package]).setdefault(part, module)


def _given(module: ModuleType, given_by: Mapping[str, str], wanted: str) -> object:
    """Return what a module that waits hasn't: from a part of it, else by running it."""
    name = module.__name__
    if not wanted.startswith("__") or wanted == "__all__":
        if wanted in given_by:
            with suppress(Exception):  # whatever it is, the whole package is imported as ever
                return getattr(import_module(f"{name}.{given_by[wanted]}"), wanted)
        if name in _waiting and hasattr(module, "__path__") and find_spec(f"{name}.{wanted}"):
            return import_module(f"{name}.{wanted}")
        _let_run(name)
        run = vars(import_module(name))  # as any other, so that other threads wait for it
        if wanted in run:
            return run[wanted]
    raise AttributeError(f"module {name!r} has no attribute {wanted!r}", name=wanted, obj=module)


def _listed(name: str) -> list[str]:
    """Return the names that a module has, for which it is run."""
    _let_run(name)
    return sorted(vars(import_module(name)))


def _let_run(name: str) -> None:
    """Let a module that waits be run by whoever imports it next."""
    with _one_at_a_time:
        module = _waiting.pop(name, None)
        if module is None or module is not sys.modules.get(name):
            return
        if _AS_ASKED not in sys.meta_path:
            sys.meta_path.insert(0, _AS_ASKED)
        _asked_for[name] = module
        del sys.modules[name]


class _AsAsked(MetaPathFinder):
    def find_spec(
        self, fullname: str, _path: Sequence[str] | None, _target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Find what waited and is to be run, and leave the rest to others."""
        module = _asked_for.pop(fullname, None)
        if module is None or module.__spec__ is None or module.__spec__.loader is None:
            return None
        module.__spec__.loader = _InPlace(module, module.__spec__.loader)
        return module.__spec__


_AS_ASKED: Final = _AsAsked()


class _InPlace(Loader):
    """Runs a module as the one that others may hold already."""

    def __init__(self, module: ModuleType, usual: Loader) -> None:
        self._module, self._usual = module, usual

    def create_module(self, _spec: ModuleSpec) -> ModuleType:
        """Return what waited."""
        return self._module

    def exec_module(self, module: ModuleType) -> None:
        """Run it."""
        if module.__spec__ is not None:
            module.__spec__.loader = self._usual
        names = vars(module)
        ours = {name: names[name] for name in ("__getattr__", "__dir__")}
        self._usual.exec_module(module)
        for name, one in ours.items():
            if names.get(name) is one:
                del names[name]
