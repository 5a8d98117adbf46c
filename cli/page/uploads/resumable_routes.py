"""Photos sent in pieces: how much is here, and more of it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from anyio import to_thread
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from catalog.errors import CalicountError, UsageError
from cli.page.photo_jobs import Jobs
from cli.page.routes.http_answers import (
    PageRequest,
    answered_early,
    answering,
    refusal,
    told,
)
from cli.page.routes.upload_routes import (
    MAX_PHOTO_BYTES,
    answer_to_sent,
    file_name,
    photo_too_large,
    refuse_no_photo,
)
from cli.page.server_state import ServerState
from cli.page.uploads.partial_photos import PartialPhotos, digest_fits

ADDRESS: Final = "/api/uploads/{key}"


class ResumableRoutes:
    """The answers to photos that come in pieces."""

    def __init__(self, state: ServerState, jobs: Jobs) -> None:
        self.state, self.jobs = state, jobs
        self.parts = PartialPhotos(state.catalogue_path)

    def routes(self) -> list[Route]:
        """Return their addresses."""
        return [
            Route(ADDRESS, answering(self.here, quick=True), methods=["GET"]),
            Route(ADDRESS, self.receive, methods=["PUT"]),
        ]

    def here(self, asked: PageRequest) -> Response:
        """Answer how many bytes of a photo are here, and the bundle that has all of it."""
        key, bundle = asked.path["key"], asked.query.get("bundle", "")
        part = self.parts.part(key, bundle)
        job = self.jobs.of_upload(part.stem)
        if job is not None:
            return told({"job": job.id})
        known = self.state.bundle_with_photo(bundle, key.partition("-")[2])
        return told({"known": known} if known else {"offset": self.parts.offset(part)})

    async def receive(self, request: Request) -> Response:
        """Take a piece; with the last the photo is put in the row."""
        return await answer_to_sent(request, self._piece)

    async def _piece(self, request: Request) -> Response:
        refuse_no_photo(request)
        part = self.parts.part(request.path_params["key"], request.query_params.get("bundle", ""))
        try:
            if not self.parts.take(part):
                raise OtherOffsetError(self.parts.offset(part))
            try:
                return await self._received(request, part)
            finally:
                self.parts.release(part)
        except OtherOffsetError as error:
            answer = refusal(409, error.problem, error.cure, offset=error.offset)
            return await answered_early(request, answer)

    async def _received(self, request: Request, part: Path) -> Response:
        query = {**request.query_params, "key": request.path_params["key"]}
        offset, size = _number(query, "offset"), _number(query, "size")
        if size > MAX_PHOTO_BYTES:
            raise photo_too_large()
        if not offset and not size:
            raise UsageError("the photo is empty", "copy it from the camera or phone again")
        if self.parts.offset(part) != offset:
            raise OtherOffsetError(self.parts.offset(part))
        if not offset:  # before it is read: cheap checks first
            await to_thread.run_sync(self._begun, part, query)
        here = await _added(request, part, offset, size)
        if here < size:
            return told({"offset": here})
        return await to_thread.run_sync(self._whole, part, query)

    def _begun(self, part: Path, query: dict[str, str]) -> None:
        self.state.bundle_for(query.get("bundle", ""), query.get("side"))
        self.parts.begin(part)

    def _whole(self, part: Path, query: dict[str, str]) -> Response:
        """Put a photo in the row that is all here."""
        job = self.jobs.of_upload(part.stem)
        if job is None:
            if not digest_fits(part, query["key"]):
                self.parts.drop(part)
                raise UsageError("the photo changed on its way", "send it again")
            name = file_name(query.get("name", ""))
            job = self.jobs.reserve(name, query.get("bundle", ""), query.get("side"))
            job.file, job.upload, job.let_go = part, part.stem, self.parts.drop
            self.jobs.start(job, self.parts.offset(part))
        return told({"job": job.id})


class OtherOffsetError(CalicountError):
    """A photo goes on elsewhere than where the page sent more of it."""

    def __init__(self, offset: int) -> None:
        super().__init__("the photo goes on elsewhere", "send the rest of it")
        self.offset = offset


async def _added(request: Request, part: Path, offset: int, size: int) -> int:
    """Add what comes to a part; return how many bytes of the photo are here then."""
    with part.open("ab") as stream:
        async for chunk in request.stream():
            offset += len(chunk)
            if offset > size:
                raise UsageError("more came of the photo than it has", "send it again")
            stream.write(chunk)
    return offset


def _number(query: dict[str, str], name: str) -> int:
    text = query.get(name, "")
    if not text.isdecimal() or len(text) > 12:
        raise UsageError(f"the page sent a piece of a photo without its {name}", "load it again")
    return int(text)
