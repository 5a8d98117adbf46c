"""Slow libraries imported while other work goes on, without what of them isn't used."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from pkgutil import resolve_name
from types import ModuleType
from typing import Final

from catalog.system.deferred_modules import GivenBy, defer, let_all_run
from catalog.system.late_names import LateFrameCheck, LateName

NOT_FOR_ARRAYS: Final = "pandas"
"""scikit-learn looks whether it is there, in case it is handed data frames. We hand it arrays, and
the look takes 0.2 s and 30 MB."""
WAITING: Final[dict[str, GivenBy]] = {
    "asyncio": {},
    "joblib": dict.fromkeys(("cpu_count", "effective_n_jobs"), LateName),
    "narwhals": {},
    "narwhals.stable": {},
    "narwhals.stable.v2": {},
    "narwhals.stable.v2.dependencies": {
        "is_into_dataframe": LateFrameCheck,
        "is_into_series": LateFrameCheck,
    },
    "numpy.f2py": {},
    "numpy.ma": {},
    "numpy.polynomial": {},
    "numpy.testing": {},
    "pydoc": {},
    "scipy.cluster": {},
    "scipy.fft": {},
    "scipy.integrate": {},
    "scipy.interpolate": {},
    "scipy.linalg": {"norm": LateName},
    "scipy.ndimage": {},
    "scipy.optimize": {"linear_sum_assignment": "_lsap"},
    "scipy.sparse.csgraph": dict.fromkeys(
        ("connected_components", "laplacian", "minimum_spanning_tree"), LateName
    ),
    "scipy.sparse.linalg": dict.fromkeys(("LinearOperator", "cg"), LateName),
    "scipy.spatial": {},
    "scipy.special": dict.fromkeys(("boxcox", "inv_boxcox", "rel_entr"), LateName),
    "scipy.stats": {},
    "secrets": {"randbits": LateName},
    "sklearn.callback": {},
    "sklearn.cluster": {"AgglomerativeClustering": "_agglomerative"},
    "sklearn.metrics": {
        "DistanceMetric": LateName,
        "silhouette_score": "cluster._unsupervised",
    },
    "sklearn.metrics.cluster": {},
    "sklearn.preprocessing": {"LabelEncoder": "_label", "normalize": LateName},
    "sklearn.utils._indexing": dict.fromkeys(("_safe_indexing", "resample", "shuffle"), LateName),
    "sklearn.utils._repr_html.estimator": {"estimator_html_repr": LateName},
    "sklearn.utils._repr_html.fitted_attributes": {"AttrsDict": LateName},
    "sklearn.utils._repr_html.params": {"ParamsDict": LateName},
    "sklearn.utils._show_versions": {"show_versions": LateName},
    "sklearn.utils.class_weight": dict.fromkeys(
        ("compute_class_weight", "compute_sample_weight"), LateName
    ),
    "sklearn.utils.discovery": {"all_estimators": LateName},
    "sklearn.utils.graph": {"_fix_connected_components": LateName},
    "sklearn.utils.parallel": dict.fromkeys(
        ("Parallel", "_get_threadpool_controller", "delayed"), LateName
    ),
}
"""What the libraries import and hardly use, and by what is asked of it what gives it (see `defer`):
0.85 s of processor and 60 MB went into it."""
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
        for name, given_by in WAITING.items():
            defer(name, given_by)
        try:
            _import_what_clusters()
        except Exception:  # whatever another version does otherwise: all of it, as ever
            let_all_run()
            _import_what_clusters()


def _import_what_clusters() -> None:
    import_module("scipy.cluster.hierarchy")
    resolve_name("sklearn.cluster:AgglomerativeClustering")
    resolve_name("sklearn.metrics:silhouette_score")


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
