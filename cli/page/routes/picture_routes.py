"""Pictures for the page: photos upright in sRGB, and squares laid flat."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray
from starlette.responses import Response

from catalog.models import Photo
from cli.page.routes.http_answers import NotThereError, PageRequest
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from catalog.catalogue.records import StoredPhoto

QUALITY: Final = 90
"""Of JPEG (choice of ours)."""
MIN_WIDTH_PX: Final = 64
"""Of a photo that is asked for smaller than it is (choice of ours)."""
FOR_GOOD: Final = "private, max-age=31536000, immutable"
"""For an address that says what it holds (RFC 8246)."""
ASK_AGAIN: Final = "private, no-cache"


class PictureRoutes:
    """The answers that are pictures."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def photo(self, asked: PageRequest) -> Response:
        """Answer with a photo as JPEG, at full size or so many pixels wide."""
        seen = self.state.photo(asked.number("photo"))
        text = asked.query.get("wide", "")
        wide = int(text) if text.isdecimal() and len(text) < 6 else seen.wide
        wide = min(max(wide, MIN_WIDTH_PX), seen.wide)
        mark = f'"{seen.digest[:32]}-{wide}"'
        if mark in asked.known:
            headers = {"ETag": mark, "Cache-Control": ASK_AGAIN}
            return Response(status_code=304, headers=headers)
        jpeg = self.state.pictures.of(mark, lambda: jpeg_of(self.decoded(seen.id).pixels, wide))
        return picture_answer(jpeg, mark, for_good=asked.query.get("v") == photo_mark(seen))

    def crop(self, asked: PageRequest) -> Response:
        """Answer with a square's cloth."""
        with self.state.catalogue() as catalogue:
            found = catalogue.crop(asked.number("square"))
        if found is None:
            raise NotThereError("there is no picture of that square", "load the page again")
        jpeg, made_from = found
        return picture_answer(jpeg, "", for_good=asked.query.get("v") == made_from)

    def decoded(self, number: int) -> Photo:
        """Return a photo's pixels, those shown last from memory."""
        from catalog.photo import decode_photo

        seen = self.state.photo(number)

        def made() -> Photo:
            with self.state.catalogue() as catalogue:
                return decode_photo(catalogue.content(number), seen.name)

        photo = self.state.photos.of(seen.digest, made)
        return Photo(seen.name, photo.pixels)


def jpeg_of(pixels: NDArray[np.uint8], wide: int) -> bytes:
    """Return pixels as a JPEG file so many pixels wide."""
    import cv2

    high_now, wide_now, _ = pixels.shape
    shown: Any = pixels
    if wide < wide_now:
        size = (wide, max(1, round(high_now * wide / wide_now)))
        shown = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA)
    bgr = cv2.cvtColor(shown, cv2.COLOR_RGB2BGR)
    _, jpeg = cv2.imencode(".jpg", bgr, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    return jpeg.tobytes()


def photo_mark(photo: StoredPhoto) -> str:
    """Return what in a photo's address says that it will never be another."""
    return photo.digest[:16]


def picture_answer(jpeg: bytes, mark: str, *, for_good: bool) -> Response:
    """Answer with a picture, to be kept for good where its address says what it holds."""
    headers = {"Cache-Control": FOR_GOOD if for_good else ASK_AGAIN}
    if mark:
        headers["ETag"] = mark
    return Response(jpeg, media_type="image/jpeg", headers=headers)
