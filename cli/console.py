"""The two streams: data on standard output, talk on standard error."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from catalog.errors import OutputError
from catalog.phrases import sentence as as_sentence
from catalog.system.silence import ERROR, heard
from cli import interrupts

if TYPE_CHECKING:
    from collections.abc import Callable

    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from cli.colour_bars import BarCell
    from cli.options import Manner


MIN_WIDTH = 40
"""Letters to a line below which a narrow terminal is left to break the lines itself."""
PIPED_WIDTH = 80
"""Letters to a line of a table where neither a terminal nor ``COLUMNS`` says how many."""
UNSAFE = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufff9-\ufffb]"
)
"""Signs that a terminal may obey instead of showing: the controls of ECMA-48 (C0, DEL, C1), those
that turn the direction of writing (Unicode UAX 9) or the line (UAX 14), annotations, and halves of
a sign (surrogates), which no encoding holds."""


def clean(text: str) -> str:
    """Return text in which a question mark stands for what a terminal would obey."""
    return UNSAFE.sub("?", text)


class _Outlet(io.FileIO):
    """A pipe or file that is written to without complaint when whoever read it has gone."""

    def write(self, data: Any) -> int:  # noqa: ANN401 - any buffer of bytes
        """Write, or do as if."""
        try:
            return super().write(data) or 0
        except BrokenPipeError:
            return memoryview(data).nbytes
        except OSError as error:
            raise OutputError(
                f"the answer can't be put out ({error.strerror or error})",
                "make room on the disk, or send it elsewhere",
            ) from error


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
    mention(f"calicount: {sentence}")


def mention(sentence: str) -> None:
    """Say on standard error what is no data."""
    with heard(ERROR):  # which a photo that is read beside turns away
        print(clean(sentence), file=sys.stderr, flush=True)  # noqa: T201 - the console is printed to here


def mention_work(doing: str) -> None:
    """Say what takes a while before anything else, on a terminal only."""
    if sys.stderr.isatty():
        mention(as_sentence(doing))


def say(line: str) -> None:
    """Put a line on standard output."""
    print(clean(line))  # noqa: T201 - the console is printed to here


def say_text(text: str) -> None:
    """Put text of several lines on standard output."""
    for line in text.split("\n"):
        say(line)


def say_json(text: str) -> None:
    """Put JSON on standard output, in ASCII where the stream's encoding isn't UTF-8.

    What a terminal would obey stands in strings only, and is escaped there as JSON has it.
    """
    if (sys.stdout.encoding or "").lower().replace("-", "") != "utf8":
        import json

        text = json.dumps(json.loads(text), indent=1)
    safe = "\n".join(UNSAFE.sub(_escaped, line) for line in text.split("\n"))
    print(safe)  # noqa: T201 - the console is printed to here


def answer(manner: Manner, told: Callable[[], Mapping[str, Any]], say: Callable[[], None]) -> None:
    """Put an answer out as the user asked: as JSON, in words, or not at all.

    Parameters
    ----------
    manner : Manner
    told : callable
        Makes the object that is printed as JSON.
    say : callable
        Says it in words.
    """
    if manner.json:
        say_json(json_text(told()))
    elif not manner.quiet:
        say()


def json_text(told: Mapping[str, Any]) -> str:
    """Return the text of an object."""
    import json

    return json.dumps(told, ensure_ascii=False, allow_nan=False, indent=1)


def _escaped(sign: re.Match[str]) -> str:
    return f"\\u{ord(sign[0]):04x}"


def ask(question: str) -> bool | None:
    """Ask what is answered with yes or no; None where nobody is at a terminal to answer."""
    if not (sys.stdin and sys.stdin.isatty() and sys.stderr.isatty()):
        return None
    print(clean(f"{question} [y/N] "), end="", file=sys.stderr, flush=True)  # noqa: T201 - see `mention`
    return sys.stdin.readline().strip().casefold() in {"y", "yes"}


def tell(text: str) -> None:
    """Put a sentence on standard output, on a terminal with its line ends between words."""
    text = clean(text)
    if not sys.stdout.isatty():
        say(text)
        return
    import shutil
    import textwrap

    indent = " " * (len(text) - len(text.lstrip()))
    lines = textwrap.wrap(
        text,
        max(MIN_WIDTH, shutil.get_terminal_size().columns - 1),
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    for line in lines or [""]:
        say(line)


def tell_lines(sentences: Iterable[str]) -> None:
    """Put sentences on standard output; see `tell`."""
    for one in sentences:
        tell(one)


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Yield a function that shows what is being done, on a terminal only."""
    interrupts.begin()
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console

    with Console(stderr=True).status("starting", spinner="line") as status:
        yield lambda doing: status.update(_plain(doing))


@contextmanager
def bar(what: str, total: int) -> Iterator[Callable[[str], None]]:
    """Yield a function that says that one more of a number is done, shown on a terminal only."""
    interrupts.begin()
    if not sys.stderr.isatty() or total < 2:
        with progress() as tell:
            yield tell
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (
        TextColumn(clean(what), markup=False),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.description}", markup=False),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task("", total=total)
        yield lambda doing: shown.update(task, advance=1, description=clean(doing))


def table(
    title: str, columns: Sequence[str], rows: Sequence[Sequence[str | BarCell]], words: int
) -> None:
    """Put a table on standard output; all but the first ``words`` columns are numbers."""
    from rich.console import Console

    from cli.tables import LONG, Heading, drawn_table, long_table

    shown = Console(file=sys.stdout)
    cells = [[_shown(cell, shown) for cell in row] for row in rows]
    heading = Heading(_plain(title, "bold"), tuple(_plain(name) for name in columns), words)
    if len(rows) < LONG or any(cell.spans for row in cells for cell in row):
        _print(drawn_table(heading, cells))
        return
    lines = long_table(_console(), heading, [[cell.plain for cell in row] for row in cells])
    if sys.stdout.isatty():
        sys.stdout.writelines(f"{line}\n" for line in lines)
    else:
        _say_lines(lines)


def _shown(cell: str | BarCell, console: Console) -> Text:
    """Show text in which every sign means itself, and a bar in colour where there are colours."""
    if isinstance(cell, str):
        return _plain(cell)
    return cell.drawn(console) or _plain(cell.words)


def _plain(text: str, style: str = "") -> Text:
    """Text in which every sign means itself."""
    from rich.text import Text

    return Text(clean(text), style)


def _print(drawn: Table) -> None:
    """Draw on standard output; where that is no terminal, without blanks at the ends of lines."""
    console = _console()
    if sys.stdout.isatty():
        console.print(drawn)
        return
    with console.capture() as caught:
        console.print(drawn)
    _say_lines(caught.get().splitlines())


def _say_lines(lines: Iterable[str]) -> None:
    for line in lines:
        say(line.rstrip())


def _console() -> Console:
    """Return what tables are drawn on, as wide as the terminal or as the user says."""
    from rich.console import Console

    if sys.stdout.isatty():
        return Console(file=sys.stdout, highlight=False)
    import shutil

    width = shutil.get_terminal_size((PIPED_WIDTH, 0)).columns
    return Console(file=sys.stdout, width=max(MIN_WIDTH, width), highlight=False)
