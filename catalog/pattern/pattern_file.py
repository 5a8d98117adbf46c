"""Pattern files as text: those that are shipped, by name, and those of the user."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Final

from catalog.errors import PatternError
from catalog.system.file_head import NotAFileError, file_head

MAX_FILE_BYTES: Final = 1_000_000
"""Bytes; a pattern of a hundred pieces takes a hundredth of it."""

EXAMPLE: Final = "example"
"""The shipped pattern that explains the fields; listed last."""


def pattern_text(name: str, own: Sequence[str] = ()) -> str:
    """Return the text of a shipped pattern or of a file.

    Parameters
    ----------
    name : str
    own : sequence of str
        Names of further patterns that might have been meant.

    Raises
    ------
    PatternError
        Neither, or not to be read as text.
    """
    text = _decode(_read(name, own), name)
    if not text.strip():
        raise PatternError(f"{name} is empty", f'copy the shipped "{EXAMPLE}" there and change it')
    return text


def shipped_files() -> dict[str, Traversable]:
    """Return the shipped patterns by name, the example last."""
    found = {
        entry.name.removesuffix(".toml"): entry
        for entry in files("catalog.pattern").joinpath("shipped").iterdir()
        if entry.name.endswith(".toml")
    }
    return {name: found[name] for name in sorted(found, key=lambda name: (name == EXAMPLE, name))}


def shipped_name(name: str) -> str:
    """Return the shipped pattern that a name means, however it is written; empty for none."""
    key = _key(name)
    return key if key in shipped_files() else ""


def _key(name: str) -> str:
    return name.strip().casefold().replace(" ", "-")


def _read(name: str, own: Sequence[str]) -> bytes:
    shipped = shipped_files()
    key = _key(name)
    if key in shipped:
        return shipped[key].read_bytes()
    try:
        data = file_head(Path(name), MAX_FILE_BYTES + 1)
    except IsADirectoryError:
        raise PatternError(
            f"{name or 'the pattern'} is a folder", "name a pattern file in it"
        ) from None
    except NotAFileError:
        raise PatternError(f"{name} is no file", "name a pattern file") from None
    except (FileNotFoundError, ValueError):
        near = get_close_matches(key, (*shipped, *own), 1)
        cure = f"write {near[0]} or another" if near else "name a file or one"
        yours = f"; of yours: {', '.join(own)}" if own else ""
        raise PatternError(
            f'there is no pattern and no file called "{name}"',
            f"{cure} of the shipped patterns: {', '.join(shipped)}{yours}",
        ) from None
    except OSError as error:
        raise PatternError(
            f"{name} can't be opened ({error.strerror})", "check the file and who may read it"
        ) from None
    if len(data) > MAX_FILE_BYTES:
        raise PatternError(f"{name} is larger than a pattern can be (1 MB)", "name a pattern file")
    return data


def _decode(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise PatternError(
            f"{name}, line {line}: it is not text in UTF-8", "save it as UTF-8 in your editor"
        ) from None
