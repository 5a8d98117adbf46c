"""What a column of a table is, told once for the CSV files, the JSON object and data frames."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, Generic, Literal, TypeVar

if TYPE_CHECKING:
    import pandas as pd

_FORMULA = re.compile(
    "^(?=[\\t\\r\\n])"
    "|(?:^|(?<=[;|\\t\\r\\n]))(?=[\\s\"']*[-=+@\N{FULLWIDTH HYPHEN-MINUS}\N{FULLWIDTH EQUALS SIGN}"
    "\N{FULLWIDTH PLUS SIGN}\N{FULLWIDTH COMMERCIAL AT}])"
)
"""Where a spreadsheet would find a cell that it runs, or whose start it looks past: one that begins
with such a sign, full-width ones too, or with a tab or line end (OWASP, CSV injection). Where the
spreadsheet separates cells otherwise than by commas, one may begin within a cell of ours."""

Kind = Literal["text", "number", "whole", "yes or no", "list"]
"""What a column holds."""

DTYPES: Final[Mapping[Kind, str]] = MappingProxyType(
    {
        "text": "string",
        "number": "Float64",
        "whole": "Int64",
        "yes or no": "boolean",
        "list": "object",
    }
)
"""How pandas holds it; all but lists know a missing value, ``pandas.NA``."""

Row = TypeVar("Row")


@dataclass(frozen=True)
class Column(Generic[Row]):
    """One column of a table whose rows are made from values of one kind."""

    name: str
    """As the header has it; never changed, as spreadsheets and programs rely on it."""
    of: Callable[[Row], Any]
    """Takes it from a row's value; an empty text, None or a number that is none is unknown."""
    doc: str
    """What it says, for whoever reads the table."""
    kind: Kind = "text"
    unit: str = ""
    places: int = 1
    """Decimals of a number, 1 or more: as many as the measurement carries."""
    between: str = ";"
    """What stands between the members of a list in a CSV cell."""

    def value(self, row: Row) -> Any:  # noqa: ANN401 - of the column's kind
        """Return what stands in a row: numbers rounded, lists as tuples, None where unknown."""
        found = self.of(row)
        if self.kind == "number" and found is not None:
            found = round(found, self.places) + 0.0
            return found if math.isfinite(found) else None
        return tuple(found) if self.kind == "list" else found

    def cell(self, row: Row) -> str:
        """Return the CSV cell; empty where unknown."""
        found = self.value(row)
        if found is None:
            return ""
        if self.kind == "number":  # with a point and no more zeros than it needs
            return f"{found:.{self.places}f}".rstrip("0").rstrip(".")
        if self.kind == "whole":
            return str(found)
        if self.kind == "yes or no":
            return "yes" if found else "no"
        return csv_text(self.between.join(map(str, found)) if self.kind == "list" else found)


def csv_of(
    columns: Sequence[Column[Row]], rows: Iterable[Row], more: Iterable[Sequence[str]] = ()
) -> str:
    """Return a table as CSV text (RFC 4180).

    Parameters
    ----------
    columns : sequence of Column
    rows : iterable
        A value for each row.
    more : iterable of sequence of str
        Cells of rows that follow and are made from no value.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([column.name for column in columns])
    writer.writerows([column.cell(row) for column in columns] for row in rows)
    writer.writerows(more)
    return text.getvalue()


def frame_of(columns: Sequence[Column[Row]], rows: Sequence[Row]) -> pd.DataFrame:
    """Return a table as a data frame, its columns typed by `DTYPES`.

    Numbers are rounded as in the CSV files, so that both say the same.
    """
    import pandas as pd

    def series(column: Column[Row]) -> pd.Series[Any]:
        found = [column.value(row) for row in rows]
        known = [None if value == "" else value for value in found]
        return pd.Series(known, dtype=DTYPES[column.kind])

    return pd.DataFrame({column.name: series(column) for column in columns})


def json_members(columns: Sequence[Column[Row]], row: Row) -> dict[str, Any]:
    """Return a row as members of a JSON object; null where a number isn't known."""
    return {column.name: column.value(row) for column in columns}


def columns_in_words(columns: Sequence[Column[Any]]) -> str:
    """Return what the columns hold, a line or two for each, as a docstring tells it."""
    return "\n".join(
        f"{column.name} : {DTYPES[column.kind]}{column.unit and f', {column.unit}'}\n"
        f"    {column.doc}"
        for column in columns
    )


def csv_text(words: str) -> str:
    """Keep a cell from being run as a formula, by the apostrophe that spreadsheets know."""
    return _FORMULA.sub("'", words)
