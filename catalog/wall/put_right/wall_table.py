"""The rows of a plan's ``wall.csv``; read strictly, as what hangs by a wrong plan is sewn wrong."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from catalog.errors import WallError
from catalog.phrases import listed, printable
from catalog.system.file_head import NotAFileError, file_head

COLUMNS: Final = ("place", "row", "column", "set", "darker", "lighter", "other_squares", "turned")
"""Those without which a plan can't be read; all versions wrote them."""
MAX_TABLE_BYTES: Final = 8_000_000
"""Ten thousand blocks, the most that a pattern may have, take less."""
AGAIN: Final = "give the wall.csv that calicount count wrote, as it was written"
Row = Mapping[str, str]


@dataclass(frozen=True)
class WallTable:
    """The rows of a plan's table."""

    name: str
    """Of the file, for messages."""
    rows: tuple[Row, ...]


def read_wall_table(path: Path) -> WallTable:
    """Read the rows of a plan's table.

    Parameters
    ----------
    path : Path
        UTF-8; separated by commas, or by semicolons or tabs as some spreadsheets save it.

    Raises
    ------
    WallError
        There is no such file, or it is no such table.
    """
    name = printable(path.name or str(path))
    text = _text(path, name)
    head = text.partition("\n")[0]
    between = max(",;\t", key=head.count)
    try:
        found = list(csv.DictReader(io.StringIO(text, newline=""), delimiter=between, strict=True))
    except csv.Error as error:
        raise WallError(f"'{name}' is no table ({error})", AGAIN) from None
    names = {column.strip() for column in (found[0] if found else {}) if column}
    if wanting := [column for column in COLUMNS if column not in names]:
        what = f"has no column {listed(wanting)}" if found else "has no rows"
        raise WallError(f"'{name}' is no plan of a wall: it {what}", AGAIN)
    rows = [
        {key.strip(): _plain(cell) for key, cell in row.items() if key and isinstance(cell, str)}
        for row in found
    ]
    if any(len(row) < len(names) for row in rows):
        raise WallError(f"a row of '{name}' is cut short", AGAIN)
    return WallTable(name, tuple(rows))


def labels_in(row: Row) -> list[str]:
    """Return the labels of the squares that a row names."""
    others = [part.strip() for part in row["other_squares"].split(";")]
    return [label for label in (row["darker"], row["lighter"], *others) if label]


def _text(path: Path, name: str) -> str:
    try:
        data = file_head(path, MAX_TABLE_BYTES + 1)
        if len(data) > MAX_TABLE_BYTES:
            raise WallError(f"'{name}' is larger than a plan can be (8 MB)", AGAIN)
        return data.decode("utf-8-sig")
    except IsADirectoryError:
        cure = "name the wall.csv in it"
        raise WallError(f"'{name}' is a folder, not a plan of a wall", cure) from None
    except NotAFileError:
        raise WallError(f"'{name}' is no file", AGAIN) from None
    except UnicodeDecodeError:
        raise WallError(f"'{name}' is not text in UTF-8", AGAIN) from None
    except (FileNotFoundError, ValueError):
        cure = "check the name and the folder; calicount count writes it as wall.csv"
        raise WallError(f"there is no plan '{name}'", cure) from None
    except OSError as error:
        why = error.strerror or error
        raise WallError(f"'{name}' can't be opened ({why})", "check who may read it") from None


def _plain(cell: str) -> str:
    """Return what stands in a cell, without the apostrophe that keeps spreadsheets from it."""
    cell = cell.strip()
    return cell[1:] if cell[:1] == "'" and cell[1:2] in {"-", "=", "+", "@"} else cell
