"""The archive of a bundle as a file: a plain zip, read without trusting anything in it.

``bundle.json`` holds all rows, ``photos/001.jpg`` and so on the photos as they were,
``crops/0001.jpg`` the pictures of the squares, ``lights/001.npz`` the light of each photo.
"""

from __future__ import annotations

import io
import json
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from catalog.catalogue.archive.archive_index import INDEX, read_index, unfit
from catalog.errors import CatalogueError
from catalog.phrases import printable

MAX_MEMBERS: Final = 100_000
"""Files: twice the pictures of 50,000 squares (see `MAX_INDEX_BYTES`)."""
MAX_UNPACKED_BYTES: Final = 8 << 30
"""Bytes, unpacked: more than a thousand phone photos."""
MAX_INDEX_BYTES: Final = 128 << 20
"""Bytes of ``bundle.json``: some 50,000 squares (about 2.5 kB each, measured on drawn bundles)."""
MAX_LISTING_BYTES: Final = 32 << 20
"""Bytes of the archive's own list of its files: 300 for each of `MAX_MEMBERS`."""
MAX_COMPRESSION: Final = 100
"""To how many times the archive's own size the files in it may unpack. Photos hardly shrink and
are packed as they are; zeros shrink to a thousandth."""
MAX_MEMBER_BYTES: Final = 1 << 28
"""Bytes of any other file in it."""
_ALLOWED: Final = re.compile(
    r"bundle\.json|photos/\d{3,6}\.[a-z0-9]{1,5}|crops/\d{4,7}\.jpg|lights/\d{3,6}\.npz"
)
_SAME_TIME: Final = (1980, 1, 1, 0, 0, 0)
"""Date of all files in it, the earliest that a zip knows: the same bundle gives the same bytes."""


class ArchiveFile:
    """An archive, opened to be read; nothing is ever unpacked to disk.

    Parameters
    ----------
    packed : zipfile.ZipFile
    name : str
        What to call it in a sentence.
    size : int
        Bytes of the archive.

    Raises
    ------
    CatalogueError
        Names that leave the folder, files twice, links, or more than anybody's bundle is.
    """

    def __init__(self, packed: zipfile.ZipFile, name: str, size: int) -> None:
        self._packed = packed
        self.name = name
        members = packed.infolist()
        names = [one.orig_filename for one in members]
        unpacked = sum(one.file_size for one in members if one.orig_filename != INDEX)
        if len(members) > MAX_MEMBERS or unpacked > min(MAX_UNPACKED_BYTES, MAX_COMPRESSION * size):
            raise unfit(name, "it would unpack to more than any bundle")
        if min((one.header_offset for one in members), default=0) != 0:
            raise _damaged(name)
        for one in members:
            self._judge(one)
        if len(set(names)) < len(names):
            raise unfit(name, "it holds a file twice")
        self.members: Mapping[str, zipfile.ZipInfo] = {one.orig_filename: one for one in members}

    def index(self) -> dict[str, Any]:
        """Return what ``bundle.json`` says."""
        if INDEX not in self.members:
            raise unfit(self.name, f"it has no {INDEX}")
        return read_index(self.read(INDEX), self.name)

    def read(self, member: str) -> bytes:
        """Return a file of the archive."""
        if member not in self.members:
            raise unfit(self.name, f"{shown(member)} is missing from it")
        one = self.members[member]
        # ZipFile.read would unpack all that is there before it looks at how much that should be.
        with self._packed.open(one) as stream:
            return stream.read(one.file_size + 1)

    def _judge(self, one: zipfile.ZipInfo) -> None:
        told = one.orig_filename
        if re.search(r"(^|[/\\])\.\.([/\\]|$)|^[/\\]|\\|:|\x00", told):
            raise unfit(self.name, f"{shown(told)} would lie outside its folder")
        if stat.S_ISLNK(one.external_attr >> 16):
            raise unfit(self.name, f"{shown(told)} is a link to another file")
        if _ALLOWED.fullmatch(told) is None:
            raise unfit(self.name, f"{shown(told)} doesn't belong into it")
        if one.flag_bits & 0x1:
            raise unfit(self.name, "it is locked with a password")
        if one.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
            raise unfit(self.name, "it is packed in a way that calicount doesn't use")
        if one.file_size > (MAX_INDEX_BYTES if told == INDEX else MAX_MEMBER_BYTES):
            raise unfit(self.name, f"{shown(told)} is too large")


@contextmanager
def opened(path: Path) -> Iterator[ArchiveFile]:
    """Open an archive to read it.

    Raises
    ------
    CatalogueError
        It is none, or can't be read.
    """
    try:
        if path.exists() and not path.is_file():  # a pipe would be waited for without end
            raise CatalogueError(f"'{path}' is no file", "name an exported bundle")
        with _Listed(path) as file, _as_zip(file, path.name) as packed:
            file.most = MAX_MEMBER_BYTES + 1
            yield ArchiveFile(packed, path.name, path.stat().st_size)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        raise _damaged(path.name) from error
    except OSError as error:
        raise CatalogueError(
            f"'{path}' can't be read ({error.strerror or error})", "check the name of the file"
        ) from error


class _Listed(io.FileIO):
    """A file that gives no more at once than an archive's list of its files may be long.

    Zip files are opened by reading that list whole, and making more than ten times of it.
    """

    most = MAX_LISTING_BYTES

    def read(self, size: int | None = -1, /) -> bytes:
        """Return some bytes; refuse too many."""
        if size is not None and size > self.most:
            msg = "a list of files without end"
            raise zipfile.BadZipFile(msg)
        return super().read(size)


def _as_zip(file: _Listed, name: str) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(file)
    except (ValueError, OverflowError, struct.error) as error:  # names or places that are none
        raise _damaged(name) from error


def pack(path: Path, index: Mapping[str, Any], files: Iterator[tuple[str, bytes]]) -> None:
    """Write an archive.

    Parameters
    ----------
    path : Path
    index : mapping
        For ``bundle.json``.
    files : iterator of (str, bytes)
        The other files; pictures are packed as they are, for they don't get smaller.
    """
    with zipfile.ZipFile(path, "w", allowZip64=True) as packed:
        text = json.dumps(index, ensure_ascii=False, allow_nan=False, indent=1)
        _put(packed, INDEX, text.encode("utf-8"), zipfile.ZIP_DEFLATED)
        for name, content in files:
            _put(packed, name, content, zipfile.ZIP_STORED)


def npz_fits(content: bytes, most: int = 1 << 24) -> bool:
    """Whether a light, which is a zip itself, unpacks to no more than so many bytes."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            return sum(one.file_size for one in packed.infolist()) <= most
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        return False


def _damaged(name: str) -> CatalogueError:
    return unfit(name, "it is damaged, or no archive at all")


def shown(text: str) -> str:
    """Return a name from an archive, fit to be printed."""
    return f"'{printable(text)[:80]}'"


def _put(packed: zipfile.ZipFile, name: str, content: bytes, how: int) -> None:
    one = zipfile.ZipInfo(name, _SAME_TIME)
    one.compress_type = how
    one.external_attr = 0o600 << 16
    packed.writestr(one, content)
