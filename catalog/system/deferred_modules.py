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
from importlib.machinery import ExtensionFileLoader, ModuleSpec
from importlib.util import find_spec
from types import ModuleType
from typing import Final

from catalog.system.late_names import LateName

GivenBy = Mapping[str, str | type[LateName]]
"""Of what is asked of a module, which of its parts gives it, or what passes for it until it is
used. Where there is no such part any more the whole module is run."""
_deferred: Final[dict[str, GivenBy]] = {}
"""By name, what is to wait once it is imported."""
_waiting: Final[dict[str, ModuleType]] = {}
"""By name, what hasn't been run."""
_asked_for: Final[dict[str, ModuleType]] = {}
"""By name, what is to be run next."""
_one_at_a_time: Final = threading.Lock()


def defer(name: str, given_by: GivenBy | None = None) -> None:
    """Let a module wait from when it is imported, unless it was before.

    Parameters
    ----------
    name : str
        Its whole name. What is compiled doesn't wait.
    given_by : mapping of str to str or type, optional
        See `GivenBy`.
    """
    if name not in sys.modules:
        _deferred[name] = given_by or {}
        if _FINDER not in sys.meta_path:
            sys.meta_path.insert(0, _FINDER)


def let_all_run() -> None:
    """Let nothing wait any more: what is imported or asked for something next is run as ever."""
    _deferred.clear()
    for name in list(_waiting):
        _let_run(name)


def _given(module: ModuleType, given_by: GivenBy, wanted: str) -> object:
    """Return what a module that waits hasn't: from a part of it, else by running it."""
    name = module.__name__
    if not wanted.startswith("__") or wanted == "__all__":
        giver = given_by.get(wanted) if name in _waiting else None
        if isinstance(giver, str):
            with suppress(Exception):  # whatever it is, the whole package is imported as ever
                return getattr(import_module(f"{name}.{giver}"), wanted)
        elif giver is not None:
            return giver(partial(_run_for, name, wanted))
        if name in _waiting and hasattr(module, "__path__") and find_spec(f"{name}.{wanted}"):
            return import_module(f"{name}.{wanted}")
        _let_run(name)
        run = vars(import_module(name))  # as any other, so that other threads wait for it
        if wanted in run:
            return run[wanted]
    raise AttributeError(f"module {name!r} has no attribute {wanted!r}", name=wanted, obj=module)


def _run_for(name: str, wanted: str) -> object:
    """Return what a module has, for which it is run."""
    _let_run(name)
    return getattr(import_module(name), wanted)


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
        _asked_for[name] = module
        del sys.modules[name]


class _Finder(MetaPathFinder):
    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        """Find what is to wait, and what waited and is to be run; leave the rest to others."""
        module = _asked_for.pop(fullname, None)
        if module is not None and module.__spec__ and module.__spec__.loader:
            module.__spec__.loader = _InPlace(module, module.__spec__.loader)
            return module.__spec__
        if fullname not in _deferred:
            return None
        others = [one for one in sys.meta_path if one is not self]
        found = (one.find_spec(fullname, path, target) for one in others)
        spec = next((one for one in found if one is not None), None)
        if spec is not None and spec.loader and hasattr(spec.loader, "exec_module"):
            compiled = isinstance(spec.loader, ExtensionFileLoader)
            spec.loader = spec.loader if compiled else _Waits(spec.loader)
        return spec


_FINDER: Final = _Finder()


class _Waits(Loader):
    """Makes a module and doesn't run it."""

    def __init__(self, usual: Loader) -> None:
        self._usual = usual

    def create_module(self, spec: ModuleSpec) -> ModuleType | None:
        """Return what the usual loader makes."""
        return self._usual.create_module(spec)

    def exec_module(self, module: ModuleType) -> None:
        """Let it wait."""
        name, given_by = module.__name__, _deferred.pop(module.__name__, {})
        module.__loader__ = self._usual
        if module.__spec__ is not None:
            module.__spec__.loader = self._usual
        vars(module).update(
            __getattr__=partial(_given, module, given_by), __dir__=partial(_listed, name)
        )
        _waiting[name] = module


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
