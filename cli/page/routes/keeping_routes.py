"""Keeping bundles safe from the page: taken out as a file, taken in again, checked, and tried."""

from __future__ import annotations

import tempfile
from dataclasses import asdict
from pathlib import Path
from typing import Final

from anyio import to_thread
from starlette.background import BackgroundTask
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route

from catalog.errors import CalicountError, UsageError
from cli.page.photo_jobs import Jobs
from cli.page.routes.http_answers import (
    PageRequest,
    TooLargeError,
    answered_early,
    answering,
    fault,
    refused,
    told,
)
from cli.page.server_state import ServerState

MAX_ARCHIVE_BYTES: Final = 4_000_000_000
"""Of a bundle's file: two hundred of a phone's photos and some."""
MAX_FAULTS_SHOWN: Final = 20
SAMPLE_BUNDLE: Final = "sample on flannel"
SAMPLE_PHOTO: Final = "thirty_squares_on_flannel.jpg"
SAMPLE_SIDE: Final = "5"


class KeepingRoutes:
    """The answers about copies and checks of what is kept, and the sample that comes along."""

    def __init__(self, state: ServerState, jobs: Jobs) -> None:
        self.state, self.jobs = state, jobs

    def routes(self) -> list[Route]:
        """Return their addresses."""
        return [
            Route("/api/bundle/{bundle:int}/export", answering(self.export), methods=["GET"]),
            Route("/api/check-up", answering(self.check_up), methods=["POST"]),
            Route("/api/sample", answering(self.sample), methods=["POST"]),
            Route("/api/import", self.take_in, methods=["POST"]),
        ]

    def export(self, asked: PageRequest) -> Response:
        """Answer with a bundle as one file, which is removed when it is sent."""
        from catalog.catalogue.archive.bundle_archive import export_bundle
        from catalog.catalogue.store.catalogue_file import explained
        from cli.page.routes.downloads import attachment

        name = self.state.kept(asked.number("bundle")).name
        folder = tempfile.TemporaryDirectory(prefix="calicount-")
        file = Path(folder.name) / "bundle.zip"
        try:
            with self.state.catalogue() as kept, explained(kept.path):
                data = asked.query.get("photo_data") == "1"
                export_bundle(kept.connection, name, file, photo_data=data)
        except BaseException:
            folder.cleanup()
            raise
        headers = attachment(f"{name}.zip")
        done = BackgroundTask(folder.cleanup)
        return FileResponse(file, media_type="application/zip", headers=headers, background=done)

    def check_up(self, _: PageRequest) -> Response:
        """Answer whether the catalogue is whole, and what to do where it isn't."""
        from catalog.catalogue.store.integrity import check_up

        with self.state.catalogue() as kept:
            found = check_up(kept.connection)
            place = str(kept.path)
        counts = {name: getattr(found, name) for name in ("bundles", "photos", "squares", "deeds")}
        faults = [asdict(one) for one in found.faults[:MAX_FAULTS_SHOWN]]
        return told({"well": found.well, "file": place, **counts, "faults": faults})

    def sample(self, _: PageRequest) -> Response:
        """Put the photo that comes with calicount in the row, or name the bundle that has it."""
        with self.state.catalogue() as kept:
            known = next((one.id for one in kept.lines() if one.name == SAMPLE_BUNDLE), None)
        if known is not None:
            return told({"bundle": known})
        photo = sample_photo()
        job = self.jobs.reserve(SAMPLE_PHOTO, SAMPLE_BUNDLE, SAMPLE_SIDE)
        job.file.write_bytes(photo)
        self.jobs.start(job, len(photo))
        return told({"job": job.id})

    async def take_in(self, request: Request) -> Response:
        """Take in a bundle that was exported, sent as the body."""
        try:
            with tempfile.TemporaryDirectory(prefix="calicount-") as folder:
                file = Path(folder) / "bundle.zip"
                await _write(request, file)
                name = request.query_params.get("name") or None
                return await to_thread.run_sync(self._taken_in, file, name)
        except CalicountError as error:
            answer = refused(error)
        except ClientDisconnect:
            answer = Response(status_code=400)
        except Exception as error:
            answer = fault(error)
        return await answered_early(request, answer)

    def _taken_in(self, file: Path, name: str | None) -> Response:
        from catalog.catalogue.archive.archive_import import import_bundle
        from catalog.catalogue.store.catalogue_file import explained

        with self.state.catalogue() as kept, explained(kept.path):
            called = import_bundle(kept.connection, file, name)
            number = kept.bundle(called).id
        return told({"bundle": number, "name": called})


def sample_photo() -> bytes:
    """Return the file of the photo that comes with calicount."""
    from importlib.resources import files

    return files("catalog").joinpath("demo", SAMPLE_PHOTO).read_bytes()


async def _write(request: Request, file: Path) -> None:
    """Write what is sent into a file, no more than `MAX_ARCHIVE_BYTES`."""
    if request.headers.get("content-type", "").lower() not in {
        "application/zip", "application/x-zip-compressed", "application/octet-stream",
    }:  # fmt: skip
        raise UsageError("that is no bundle's file", "choose one that was exported")
    size = 0
    with file.open("xb") as stream:
        async for chunk in request.stream():
            size += len(chunk)
            if size > MAX_ARCHIVE_BYTES:
                raise TooLargeError("that file is larger than a bundle can be (4 GB)", "choose one")
            stream.write(chunk)
    if not size:
        raise UsageError("that file is empty", "choose one that was exported")
