"""The page itself: what lies in `static`, and nothing else."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Final

from starlette.responses import Response

from cli.page.routes.http_answers import NotThereError, PageRequest

FOLDER: Final = Path(__file__).with_name("static")
KINDS: Final = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}
INDEX: Final = "index.html"


class StaticFiles:
    """The answers that are files of the page."""

    def __init__(self) -> None:
        self._files = {
            path.relative_to(FOLDER).as_posix(): path
            for path in FOLDER.rglob("*")
            if path.suffix in KINDS and path.is_file()
        }

    def index(self, asked: PageRequest) -> Response:
        """Answer with the page."""
        return self.named(INDEX, asked)

    def file(self, asked: PageRequest) -> Response:
        """Answer with one of its files, named as it lies there."""
        return self.named(asked.path["name"], asked)

    def named(self, name: str, asked: PageRequest) -> Response:
        """Answer with the file of a name.

        Raises
        ------
        NotThereError
            There is none.
        """
        path = self._files.get(name)
        if path is None:
            raise NotThereError(f"the page has no file '{name[:80]}'", "load the page again")
        content = path.read_bytes()
        mark = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
        headers = {"ETag": mark, "Cache-Control": "no-cache"}
        if mark in asked.known:
            return Response(status_code=304, headers=headers)
        return Response(content, media_type=KINDS[path.suffix], headers=headers)
