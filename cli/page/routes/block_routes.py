"""Blocks that a pattern can start from."""

from __future__ import annotations

from starlette.responses import Response

from cli.page.routes.http_answers import PageRequest, told


def known_blocks_told(_: PageRequest) -> Response:
    """Answer with the blocks of the public domain, their names and their sources."""
    from catalog.pattern.blocks.known_blocks import known_blocks
    from cli.patterns.block_view import known_view

    return told({"blocks": [known_view(one) for one in known_blocks()]})
