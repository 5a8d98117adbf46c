"""The text of cutting instructions: from a file, or from standard input."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

from catalog.errors import PatternError
from catalog.system.file_head import NotAFileError, file_head

MAX_TEXT_BYTES: Final = 1_000_000
"""Some 500 pages; one pattern has ten."""
FROM_INPUT: Final = "-"


def instruction_text(name: str) -> str:
    """Return the text of a file, or for ``-`` what is typed, pasted or piped.

    Raises
    ------
    PatternError
        No such file, or not to be read as text.
    """
    shown = "what came in" if name == FROM_INPUT else name
    data = sys.stdin.buffer.read(MAX_TEXT_BYTES + 1) if name == FROM_INPUT else _content(name)
    if len(data) > MAX_TEXT_BYTES:
        raise PatternError(
            f"{shown} is larger than instructions can be (1 MB)",
            "copy the cutting instructions alone into a text file",
        )
    text = _decoded(data, shown)
    if not text.strip():
        raise PatternError(f"{shown} is empty", "put the cutting instructions there as text")
    return text


def _content(name: str) -> bytes:
    try:
        return file_head(Path(name), MAX_TEXT_BYTES + 1)
    except IsADirectoryError:
        raise PatternError(f"{name or 'that'} is a folder", "name a text file in it") from None
    except NotAFileError:
        cure = "name a text file, or write - and pipe it in"
        raise PatternError(f"{name} is no file", cure) from None
    except (FileNotFoundError, ValueError):
        raise PatternError(
            f'there is no file called "{name}"', "check the name and the folder"
        ) from None
    except OSError as error:
        raise PatternError(
            f"{name} can't be opened ({error.strerror})", "check the file and who may read it"
        ) from None


def _decoded(data: bytes, shown: str) -> str:
    """Decode UTF-8, UTF-16 with its mark, or what older word processors write (Windows-1252)."""
    wide = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    if data.startswith((b"%PDF", b"PK\x03\x04", b"{\\rtf")) or (b"\0" in data and not wide):
        raise PatternError(
            f"{shown} is no plain text",
            "open it, copy the cutting instructions, and save them as a text file",
        )
    if wide:
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")
