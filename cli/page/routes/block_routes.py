"""Blocks that a pattern can start from: those with names, and one that a picture shows."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from cli.page.routes.http_answers import PageRequest, told
from cli.page.routes.upload_routes import answer_to_photo, file_name


def known_blocks_told(_: PageRequest) -> Response:
    """Answer with the blocks of the public domain, their names and their sources."""
    from catalog.pattern.blocks.known_blocks import known_blocks
    from cli.patterns.block_view import known_view

    return told({"blocks": [known_view(one) for one in known_blocks()]})


async def drawing_received(request: Request) -> Response:
    """Answer with the block that a picture of a drawing seems to show, to be confirmed."""
    return await answer_to_photo(request, _proposal)


def _proposal(content: bytes, asked: PageRequest) -> Response:
    from catalog.pattern.drawing.drawing_reading import read_drawing
    from catalog.photo import decode_photo
    from cli.patterns.drawing_view import proposal_view

    photo = decode_photo(content, file_name(asked.query.get("name", "")))
    return told(proposal_view(read_drawing(photo.pixels)))
