"""How tests wait: for an event, up to one limit that only a broken program reaches."""

from __future__ import annotations

import os
import time

LONG = float(os.environ.get("CALICOUNT_PATIENCE", "300"))
"""Seconds; the environment variable shortens it where one breaks things. A busy machine may take a
hundred times as long as an idle one, and no test waits for this where all is well."""


def until(happens, *, every=0.02):
    """Ask again and again until something is so; give what it is then."""
    end = time.monotonic() + LONG
    while not (found := happens()):
        assert time.monotonic() < end, f"it did not come about in {LONG:.0f} s"
        time.sleep(every)
    return found
