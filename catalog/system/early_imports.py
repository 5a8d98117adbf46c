"""Slow libraries imported while other work goes on, without what of them isn't used."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib import import_module
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from pkgutil import resolve_name
from types import ModuleType
from typing import Final

from catalog.system.deferred_modules import defer

NOT_FOR_ARRAYS: Final = "pandas"
"""scikit-learn looks whether it is there, in case it is handed data frames. We hand it arrays, and
the look takes 0.2 s and 30 MB."""
_NOT_RUN: Final[Mapping[str, Mapping[str, Mapping[str, str]]]] = {
    "scipy": {
        "asyncio": {},
        "numpy.f2py": {},
        "numpy.ma": {},
        "numpy.polynomial": {},
        "numpy.testing": {},
        "scipy.cluster": {},
        "scipy.fft": {},
        "scipy.integrate": {},
        "scipy.interpolate": {},
        "scipy.ndimage": {},
        "scipy.optimize": {"linear_sum_assignment": "_lsap"},
        "scipy.spatial": {},
        "scipy.special": dict.fromkeys(("boxcox", "inv_boxcox", "rel_entr"), "_ufuncs"),
        "scipy.stats": {},
    },
    "sklearn": {
        "scipy.sparse.csgraph": {
            "connected_components": "_traversal",
            "laplacian": "_laplacian",
            "minimum_spanning_tree": "_min_spanning_tree",
        },
        "scipy.sparse.linalg": {"LinearOperator": "_interface", "cg": "_isolve"},
        "sklearn.callback": {"CallbackSupportMixin": "_callback_support"},
        "sklearn.cluster": {"AgglomerativeClustering": "_agglomerative"},
        "sklearn.metrics": {
            "DistanceMetric": "_dist_metrics",
            "silhouette_score": "cluster._unsupervised",
        },
        "sklearn.metrics.cluster": {},
        "sklearn.preprocessing": {"LabelEncoder": "_label", "normalize": "_data"},
    },
}
"""Packages that the libraries import and hardly use, and by what is asked of them which part gives
it (see `defer`): 0.75 s of processor and 50 MB went into them. Any part of `sklearn` brings what
isn't its own with it, so that stands first."""
_once: Final = threading.Lock()


def import_early(*modules: str, after: Callable[[], object] | None = None) -> None:
    """Begin to import what clusters, then modules, one after another, on a thread of their own.

    That thread does what they are to come after, if anything.

    scipy itself is whole before: two threads that both begin to import it, each by another of its
    parts, wait for one another, and Python then hands one of them a half-made module.
    """
    import_module("scipy")
    threading.Thread(target=_import_all, args=(modules, after), daemon=True).start()


def import_clustering() -> None:
    """Import what fabrics and families are clustered with, and little of the libraries beside it.

    It waits where that has begun on another thread.
    """
    with _once, not_found_here(NOT_FOR_ARRAYS):
        if "sklearn.cluster" in sys.modules:
            return
        _defer("scipy")
        import_module("scipy.cluster.hierarchy")
        _defer("sklearn")
        resolve_name("sklearn.cluster:AgglomerativeClustering")
        resolve_name("sklearn.metrics:silhouette_score")


def _defer(library: str) -> None:
    for package, given_by in _NOT_RUN[library].items():
        defer(package, given_by)


def _import_all(modules: Sequence[str], after: Callable[[], object] | None) -> None:
    if after is not None:
        after()
    import_clustering()
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
