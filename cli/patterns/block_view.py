"""Blocks in colours as JSON, for the page and for programs: values in, one object out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from catalog.pattern.blocks.coloured_block import grid_lines

if TYPE_CHECKING:
    from catalog.pattern.blocks.coloured_block import ColouredBlock
    from catalog.pattern.blocks.known_blocks import BlockSource, KnownBlock


def block_view(drawn: ColouredBlock) -> dict[str, Any]:
    """Return a block as the tables of a pattern file have it, but that fabrics name colours."""
    block = drawn.block
    return {
        "across": block.across,
        "down": block.down,
        "grid": list(grid_lines(block)),
        "unit": [
            {
                "mark": unit.mark,
                "unit": unit.unit,
                "wide": unit.wide,
                "high": unit.high,
                "fabrics": [patch.kind for patch in unit.patches],
            }
            for unit in block.units
        ],
        "colours": [{"name": one.name, "role": one.role} for one in drawn.colours],
    }


def known_view(known: KnownBlock) -> dict[str, Any]:
    """Return a known block with its names and sources."""
    return {
        "name": known.name,
        "other_names": list(known.other_names),
        **block_view(known.drawn),
        "sources": [
            {"text": source_words(one), "known": one.known, "open": one.open}
            for one in known.sources
        ],
    }


def source_words(source: BlockSource) -> str:
    """Say where a block was printed, and how we know."""
    how = {"read": "", "told": f" (told by {source.by})", "memory": " (from memory)"}
    printed = f"{source.author}, {source.title}, {source.year}: {source.where}"
    return f"{printed}{how[source.known]}"
