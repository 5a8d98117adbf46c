"""Photos that the page sends, each as the body of a request, counted while they come."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import partial
from typing import Final

from anyio import to_thread
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response

from catalog.errors import CalicountError, UsageError
from catalog.phrases import printable
from cli.page.photo_jobs import Job, Jobs
from cli.page.routes.http_answers import (
    PageRequest,
    TooLargeError,
    answered_early,
    fault,
    guarded,
    limiter_of,
    refusal,
    refused,
    told,
)
from cli.page.server_state import ServerState

MAX_PHOTO_BYTES: Final = 80_000_000
"""Bytes; a phone's largest photo, uncompressed from 200 megapixels aside, has under 40 MB."""
LONGEST_NAME: Final = 200
"""Letters of a photo's name, fewer than the 255 bytes that most file systems take."""
KINDS: Final = ("image/", "application/octet-stream")


class UploadRoutes:
    """The answers about photos on their way."""

    def __init__(self, state: ServerState, jobs: Jobs) -> None:
        self.state, self.jobs = state, jobs

    async def receive(self, request: Request) -> Response:
        """Take a photo and put it in the row."""
        return await answer_to_sent(request, self._receive)

    def progress(self, asked: PageRequest) -> Response:
        """Answer how far a photo has come."""
        return told(self.jobs.view(asked.path["job"]))

    async def _receive(self, request: Request) -> Response:
        refuse_no_photo(request)
        job = await to_thread.run_sync(self._room_for, dict(request.query_params))
        try:
            size = await _written(request, job)
        except BaseException:
            self.jobs.drop(job)
            raise
        self.jobs.start(job, size)
        return told({"job": job.id})

    def _room_for(self, query: dict[str, str]) -> Job:
        name = file_name(query.get("name", ""))
        return self.jobs.reserve(name, query.get("bundle", ""), query.get("side"))


async def answer_to_sent(
    request: Request, receive: Callable[[Request], Awaitable[Response]]
) -> Response:
    """Answer to a photo that is put down as it comes, in a sentence where that goes wrong."""
    try:
        return await receive(request)
    except CalicountError as error:
        answer = refused(error)
    except ClientDisconnect:
        answer = Response(status_code=400)
    except OSError as error:
        why = error.strerror or error
        cure = "make room on the disk and send it again"
        answer = refusal(500, f"the photo can't be put down ({why})", cure)
    except Exception as error:
        answer = fault(error)
    return await answered_early(request, answer)


def refuse_no_photo(request: Request) -> None:
    """Refuse what doesn't say that it is a photo, or says that it is too large.

    Raises
    ------
    CalicountError
    """
    if not request.headers.get("content-type", "").lower().startswith(KINDS):
        raise UsageError("that is no photo", "add JPEG, PNG, WebP, TIFF or HEIC files")
    declared = request.headers.get("content-length", "")
    if declared.isdecimal() and int(declared) > MAX_PHOTO_BYTES:
        raise photo_too_large()


async def photo_received(request: Request) -> bytes:
    """Return the bytes of a photo that is looked at and not kept, no more than `MAX_PHOTO_BYTES`.

    Raises
    ------
    CalicountError
        It is no photo, empty or too large.
    """
    refuse_no_photo(request)
    content = bytearray()
    async for chunk in request.stream():
        content += chunk
        if len(content) > MAX_PHOTO_BYTES:
            raise photo_too_large()
    if not content:
        raise UsageError("the photo is empty", "copy it from the camera or phone again")
    return bytes(content)


async def answer_to_photo(
    request: Request, work: Callable[[bytes, PageRequest], Response]
) -> Response:
    """Answer to a photo that is looked at and not kept, by what work makes of its bytes."""
    try:
        content = await photo_received(request)
    except CalicountError as error:
        answer = refused(error)
        return await answered_early(request, answer)
    except ClientDisconnect:
        return Response(status_code=400)
    asked = PageRequest(request.path_params, request.query_params)
    limiter = limiter_of(request, "slow")
    return await to_thread.run_sync(guarded, partial(work, content), asked, limiter=limiter)


async def _written(request: Request, job: Job) -> int:
    """Write a photo to its file while it comes, no more than `MAX_PHOTO_BYTES`; give its bytes."""
    size = 0
    with job.file.open("xb") as stream:
        async for chunk in request.stream():
            size += len(chunk)
            if size > MAX_PHOTO_BYTES:
                raise photo_too_large()
            stream.write(chunk)
    if not size:
        raise UsageError(f"'{job.name}' is empty", "copy it from the camera or phone again")
    return size


def file_name(said: str) -> str:
    """Return the name of a photo without folders and what can't be shown."""
    last = said.replace("\\", "/").rsplit("/", 1)[-1]
    return printable(last).strip(". ")[:LONGEST_NAME] or "photo"


def photo_too_large() -> TooLargeError:
    """Return the error of a file that can't be a photo."""
    return TooLargeError("that file is larger than a photo can be (80 MB)", "make it smaller")
