"""Swatches -> the sets that go together."""

from __future__ import annotations

from catalog.matching.requests import match_requests

__all__ = ["match_requests"]
