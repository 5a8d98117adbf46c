"""The page itself: what lies in `static`, and nothing else.

All of it is read once, when the server starts, so that a page never has modules of two versions
where the package is installed anew meanwhile. A file is told as it lies there, or, below the digest
of all files (`/static/DIGEST/NAME`), with all that it imports; that stays the same for ever, and a
browser that has it asks for it no more. Pages name their files in this second way.
"""

from __future__ import annotations

import functools
import hashlib
import re
from pathlib import Path
from typing import Final

from starlette.responses import Response

from cli.page.assets.joined_file import JoinedFile, joined_script, joined_sheet
from cli.page.routes.http_answers import NotThereError, PageRequest

FOLDER: Final = Path(__file__).parents[1] / "static"
KINDS: Final = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
    ".map": "application/json",
}
JOINED: Final = {".js": joined_script, ".css": joined_sheet}
INDEX: Final = "index.html"
BELOW_DIGEST: Final = re.compile(r"(?P<digest>[0-9a-f]{32})/(?P<name>.+)")
FOR_EVER: Final = {"Cache-Control": "private, max-age=31536000, immutable"}
"""RFC 9111, section 5.2.2, and RFC 8246."""


class PageFiles:
    """What lies in a folder, read once.

    Parameters
    ----------
    folder : Path
    """

    def __init__(self, folder: Path) -> None:
        found = sorted(
            path for path in folder.rglob("*") if path.suffix in KINDS and path.is_file()
        )
        self.contents = {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}
        told = hashlib.sha256()
        for name, content in self.contents.items():
            told.update(f"{name} {len(content)} ".encode() + content)
        self.digest = told.hexdigest()[:32]
        self._joined: dict[str, JoinedFile] = {}

    def joined(self, name: str) -> bytes | None:
        """Return a file with all that it imports, or the map of that; None where there is none."""
        whole = name.removesuffix(".map")
        join = JOINED.get(Path(whole).suffix)
        if whole not in self.contents or join is None:
            return self.contents.get(name)
        if whole not in self._joined:
            texts = {
                one: content.decode()
                for one, content in self.contents.items()
                if Path(one).suffix in JOINED
            }
            self._joined[whole] = join(whole, texts)
        made = self._joined[whole]
        return (made.text if whole == name else made.source_map).encode()


page_files = functools.cache(PageFiles)


class StaticFiles:
    """The answers that are files of the page."""

    def __init__(self) -> None:
        self._files = page_files(FOLDER)

    def index(self, asked: PageRequest) -> Response:
        """Answer with the page."""
        return self.named(INDEX, asked)

    def file(self, asked: PageRequest) -> Response:
        """Answer with one of its files, by its name or below the digest."""
        name = asked.path["name"]
        below = BELOW_DIGEST.fullmatch(name)
        if below is None:
            return self.named(name, asked)
        content = self._files.joined(below["name"])
        if content is None or below["digest"] != self._files.digest:
            raise _none_named(name)
        return Response(content, media_type=KINDS[Path(name).suffix], headers=FOR_EVER)

    def named(self, name: str, asked: PageRequest) -> Response:
        """Answer with the file of a name.

        Raises
        ------
        NotThereError
            There is none.
        """
        content = self._files.contents.get(name)
        if content is None:
            raise _none_named(name)
        if name.endswith(".html"):
            content = content.replace(b'"/static/', f'"/static/{self._files.digest}/'.encode())
        mark = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
        headers = {"ETag": mark, "Cache-Control": "no-cache"}
        if mark in asked.known:
            return Response(status_code=304, headers=headers)
        return Response(content, media_type=KINDS[Path(name).suffix], headers=headers)


def _none_named(name: str) -> NotThereError:
    return NotThereError(f"the page has no file '{name[:80]}'", "load the page again")
