"""Slow libraries imported while other work goes on."""

from __future__ import annotations

from importlib import import_module
from threading import Thread


def import_early(*modules: str) -> None:
    """Begin to import modules, one after another, on a thread of their own.

    scipy itself is whole before: two threads that both begin to import it, each by another of its
    parts, wait for one another, and Python then hands one of them a half-made module.
    """
    import_module("scipy")
    Thread(target=lambda: [*map(import_module, modules)], daemon=True).start()
