"""The two streams: data on standard output, talk on standard error."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import Console


LEAST_WIDTH = 40
"""Letters to a line below which a narrow terminal is left to break the lines itself."""
PIPED_WIDTH = 250
"""Letters to a line of a table where no terminal says how many: enough for one line a row, so that
other programs can pick rows out."""


class _Outlet(io.FileIO):
    """A pipe or file that is written to without complaint when whoever read it has gone."""

    def write(self, data: Any) -> int:  # noqa: ANN401 - any buffer of bytes
        """Write, or do as if."""
        try:
            return super().write(data) or 0
        except BrokenPipeError:
            return memoryview(data).nbytes


def make_safe() -> None:
    """Let neither a letter that the console lacks nor a reader that goes away stop the command.

    The letter is shown as a question mark, and the work goes on to its end without the reader.
    """
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if isinstance(stream, io.TextIOWrapper):
            setattr(sys, name, _outlasting(stream))
            getattr(sys, name).reconfigure(errors="replace")


def _outlasting(stream: io.TextIOWrapper) -> io.TextIOWrapper:
    """Return a stream to the same place that outlasts its reader; a terminal's as it is."""
    raw = getattr(stream.buffer, "raw", stream.buffer)
    if type(raw) is not io.FileIO or raw.isatty():
        return stream
    stream.flush()
    outlet = io.BufferedWriter(_Outlet(raw.fileno(), "wb", closefd=False))
    at_once = stream.line_buffering or stream.write_through
    return io.TextIOWrapper(outlet, encoding=stream.encoding, line_buffering=at_once)


def complain(sentence: str) -> None:
    """Say on standard error what is wrong."""
    print(f"calicount: {sentence}", file=sys.stderr)  # noqa: T201 - the console is printed to here


def say(text: str) -> None:
    """Put text on standard output."""
    print(text)  # noqa: T201 - the console is printed to here


def say_json(text: str) -> None:
    """Put JSON on standard output, in ASCII where the stream's encoding isn't UTF-8."""
    if (sys.stdout.encoding or "").lower().replace("-", "") != "utf8":
        import json

        text = json.dumps(json.loads(text), indent=1)
    say(text)


def tell(text: str) -> None:
    """Put a sentence on standard output, on a terminal with its line ends between words."""
    if sys.stdout.isatty():
        import shutil
        import textwrap

        indent = " " * (len(text) - len(text.lstrip()))
        text = textwrap.fill(
            text,
            max(LEAST_WIDTH, shutil.get_terminal_size().columns - 1),
            subsequent_indent=indent,
            break_long_words=False,
            break_on_hyphens=False,
        )
    say(text)


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Yield a function that shows what is being done, on a terminal only."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console

    with Console(stderr=True).status("starting", spinner="line") as status:
        yield lambda doing: status.update(_plain(doing))


@contextmanager
def bar(what: str, total: int) -> Iterator[Callable[[str], None]]:
    """Yield a function that says that one more of a number is done, shown on a terminal only."""
    if not sys.stderr.isatty() or total < 2:
        with progress() as tell:
            yield tell
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (
        TextColumn(_plain(what)),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.description}"),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task("", total=total)
        yield lambda doing: shown.update(task, advance=1, description=_plain(doing))


def table(title: str, columns: Sequence[str], rows: Sequence[Sequence[str]], words: int) -> None:
    """Put a table on standard output; all but the first ``words`` columns are numbers."""
    from rich import box
    from rich.table import Table

    drawn = Table(
        title=_plain(title),
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD,
        show_edge=False,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    for place, name in enumerate(columns):
        drawn.add_column(_plain(name), justify="left" if place < words else "right")
    for row in rows:
        drawn.add_row(*(_plain(cell) for cell in row))
    _output().print(drawn)


def _plain(text: str) -> str:
    """Text in which square brackets mean themselves."""
    from rich.markup import escape

    return escape(text)


def _output() -> Console:
    from rich.console import Console

    width = None if sys.stdout.isatty() else PIPED_WIDTH
    return Console(file=sys.stdout, width=width, highlight=False)
