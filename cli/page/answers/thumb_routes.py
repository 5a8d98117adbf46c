"""Small pictures: of a photo, and of a bundle by some of its cloth."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from starlette.responses import Response
from starlette.routing import Route

from cli.page.memory import Memory
from cli.page.routes.http_answers import NotThereError, PageRequest, answering
from cli.page.routes.picture_routes import PictureRoutes, jpeg_of, photo_mark, picture_answer
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredBundle

WIDE: Final = 320
"""Pixels of a photo's small picture."""
CELL: Final = 64
"""Pixels of one square's cloth in a bundle's."""
COLUMNS, ROWS = 5, 3
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
        kept = self.state.kept(asked.number("bundle"))
        key = ("bundle", kept.id, kept.version)
        jpeg = self._known.of(key, lambda: self._cloth(kept))
        version = str(kept.version)
        return picture_answer(jpeg, f'"{key}"', for_good=asked.query.get("v") == version)

    def _cloth(self, kept: StoredBundle) -> bytes:
        import cv2

        crops = [crop for one in _some(kept) if (crop := self._crop(one)) is not None]
        if not crops:
            raise NotThereError("there is no picture of that bundle yet", "add photos to it")
        columns = min(COLUMNS, len(crops))
        rows = max(1, min(ROWS, len(crops) // columns))
        cells = [
            cv2.resize(crop, (CELL, CELL), interpolation=cv2.INTER_AREA)
            for crop in crops[: rows * columns]
        ]
        lines = [np.hstack(cells[row * columns : (row + 1) * columns]) for row in range(rows)]
        return jpeg_of(np.ascontiguousarray(np.vstack(lines)[:, :, ::-1]), columns * CELL)

    def _crop(self, square: int) -> Any:  # noqa: ANN401 - of OpenCV, BGR; None for none
        import cv2

        with self.state.catalogue() as catalogue:
            found = catalogue.crop(square)
        if found is None:
            return None
        return cv2.imdecode(np.frombuffer(found[0], np.uint8), cv2.IMREAD_COLOR)


def _some(kept: StoredBundle) -> list[int]:
    """Return the numbers of squares from all over a bundle's colours, as many as are shown."""
    from catalog.bundle.families import rainbow_order

    ordered = rainbow_order(kept.swatches)
    places = np.linspace(0, len(ordered) - 1, min(len(ordered), COLUMNS * ROWS)).round()
    return [kept.by_label[ordered[int(place)].label].id for place in places]
