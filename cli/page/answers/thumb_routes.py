"""Small pictures: of a photo, and of a bundle by some of its cloth."""

from __future__ import annotations

from typing import Final

import numpy as np
from starlette.responses import Response
from starlette.routing import Route

from cli.page.memory import Memory
from cli.page.routes.http_answers import NotThereError, PageRequest, answering
from cli.page.routes.picture_routes import PictureRoutes, jpeg_of, photo_mark, picture_answer
from cli.page.server_state import ServerState

WIDE: Final = 320
"""Pixels of a photo's small picture."""
CELL: Final = 64
"""Pixels of one square's cloth in a bundle's."""
COLUMNS: Final = 5
"""Of them side by side; how many there are is the catalogue's to say."""
MAX_THUMBS: Final = 512
"""Kept, some 20 kB each."""


class ThumbRoutes:
    """The answers that are small pictures."""

    def __init__(self, state: ServerState, pictures: PictureRoutes) -> None:
        self.state, self.pictures = state, pictures
        self._known = Memory(MAX_THUMBS)

    def routes(self) -> list[Route]:
        """Return their addresses."""
        return [
            Route("/api/photo/{photo:int}/thumb.jpg", answering(self.photo), methods=["GET"]),
            Route("/api/bundle/{bundle:int}/thumb.jpg", answering(self.bundle), methods=["GET"]),
        ]

    def photo(self, asked: PageRequest) -> Response:
        """Answer with a photo, small."""
        seen = self.state.photo(asked.number("photo"))
        mark = f'"{seen.digest[:32]}-thumb"'
        jpeg = self._known.of(
            mark, lambda: jpeg_of(self.pictures.decoded(seen.id).pixels, min(WIDE, seen.wide))
        )
        return picture_answer(jpeg, mark, for_good=asked.query.get("v") == photo_mark(seen))

    def bundle(self, asked: PageRequest) -> Response:
        """Answer with some of a bundle's cloth, from end to end of its colours."""
        number = asked.number("bundle")
        version = self.state.version(number)
        key = ("bundle", number, version)
        jpeg = self._known.of(key, lambda: self._cloth(number))
        return picture_answer(jpeg, f'"{key}"', for_good=asked.query.get("v") == str(version))

    def _cloth(self, number: int) -> bytes:
        import cv2

        with self.state.catalogue() as catalogue:
            pictured = catalogue.pictured(number)
        decoded = [cv2.imdecode(np.frombuffer(one, np.uint8), cv2.IMREAD_COLOR) for one in pictured]
        crops = [one for one in decoded if one is not None]
        if not crops:
            raise NotThereError("there is no picture of that bundle yet", "add photos to it")
        columns = min(COLUMNS, len(crops))
        rows = max(1, len(crops) // columns)
        cells = [
            cv2.resize(crop, (CELL, CELL), interpolation=cv2.INTER_AREA)
            for crop in crops[: rows * columns]
        ]
        lines = [np.hstack(cells[row * columns : (row + 1) * columns]) for row in range(rows)]
        return jpeg_of(np.ascontiguousarray(np.vstack(lines)[:, :, ::-1]), columns * CELL)
