"""What libraries import when a command starts, and hardly ever use, waits until it is used."""

from __future__ import annotations

from typing import Final

from catalog.system.deferred_modules import GivenBy, defer
from catalog.system.late_names import LateName

WAITING: Final[dict[str, GivenBy]] = {
    "difflib": {"get_close_matches": LateName},
    "linecache": {},
    "numpy._core._add_newdocs": {},
    "numpy._core._add_newdocs_scalars": {},
    "numpy._typing": dict.fromkeys(("ArrayLike", "DTypeLike", "NBitBase", "NDArray"), LateName),
    "pickle": dict.fromkeys(("dumps", "loads"), LateName),
    "random": {"randint": LateName},
    "rich.markdown": {"Markdown": LateName},
    "rich.traceback": {"Traceback": LateName},
    "shutil": {},
    "subprocess": {},
    "tempfile": {},
    "traceback": {},
    "zipfile": {},
}
"""By module what is asked of it as others are imported (see `defer`): names of kinds of arrays that
annotations alone speak of, texts for those who look NumPy's functions up, parsers of Markdown and
of two hundred programming languages for help that is plain text, and parts of Python itself. What
looks up colours or lists bundles takes a tenth less without them, help a fifth."""


def let_wait() -> None:
    """Let all of it wait, before anything else is imported."""
    for name, given_by in WAITING.items():
        defer(name, given_by)
