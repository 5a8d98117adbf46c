"""How work that takes a while says what it is doing."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[str], None]
"""Told in a few words what is being done."""


def unreported(_: str) -> None:
    """Tell nobody."""
