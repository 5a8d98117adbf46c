"""Greys by which a booklet tells cloths apart on a printer without colours."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from catalog.cutting.quilt import Block, Patch, Quilt

FEATURE_GREYS: Final = (150, 196, 122, 212, 172)
BACKGROUND_GREYS: Final = (255, 236, 246)
"""Light enough to read words on and to spare ink (choice of ours)."""


def tones_of(quilt: Quilt, block: Block) -> dict[Patch, int]:
    """Return the grey of each cloth of a block: features darker, the darker of two darkest."""
    patches: Sequence[Patch] = list(dict.fromkeys(patch for _, patch in block.patches()))
    by_role: dict[bool, list[Patch]] = {True: [], False: []}
    for patch in sorted(patches, key=lambda one: (one.kind, one.which)):
        by_role[quilt.kind(patch.kind).role == "feature"].append(patch)
    greys = {patch: FEATURE_GREYS[n % len(FEATURE_GREYS)] for n, patch in enumerate(by_role[True])}
    return greys | {
        patch: BACKGROUND_GREYS[n % len(BACKGROUND_GREYS)] for n, patch in enumerate(by_role[False])
    }
