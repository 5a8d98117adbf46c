"""Patterns on the page: the list, one with its history, what is done to one, and who makes it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Final, TypeVar

from msgspec import Meta
from starlette.responses import Response

from catalog.errors import MissingPatternError, PatternError
from cli.page.input_checks import Args, Version, read, unfit
from cli.page.routes.http_answers import NotThereError, PageRequest, told
from cli.page.routes.plan_routes import MAX_PATTERN_LETTERS
from cli.page.server_state import ServerState, stamp

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
    from catalog.catalogue.patterns.pattern_fits import PatternFit, TriedPattern
    from catalog.catalogue.patterns.stored_pattern import PatternLine, StoredPattern
    from catalog.catalogue.records import StoredBundle

GivenName = Annotated[str, Meta(max_length=200, description="a text")]
MAX_DIGITS: Final = 18
"""Of a pattern's number: the catalogue gives none with more."""
T = TypeVar("T")
View = dict[str, Any]


class PatternRoutes:
    """The answers about patterns that are kept or come with calicount."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def list(self, asked: PageRequest) -> Response:
        """Answer with all patterns, those that come with calicount first; or with words' ones."""
        words = asked.query.get("find", "").split()
        lines = [line for line in lines_of(self.state) if line.has(words)]
        return told({"patterns": [pattern_line_view(line) for line in lines]})

    def show(self, asked: PageRequest) -> Response:
        """Answer with a pattern: one's own by its number, one that comes along by its name."""
        from catalog.pattern.pattern_file import shipped_name

        shipped = shipped_name(asked.path["pattern"])
        if shipped:
            return told(shipped_view(shipped))
        return self._with(lambda own: own.numbered(_number(asked)))

    def keep(self, asked: PageRequest) -> Response:
        """Keep a new pattern; or, with the version that was seen, let a kept one say this."""
        name, text = read(asked.body, "name", GivenName), _text(asked.body)
        seen = read(asked.body, "version", Version | None)
        if seen is None:
            return self._with(lambda own: own.keep(name, text), status=201)
        return self._with(lambda own: own.write(own.named(name).id, text, seen))

    def write(self, asked: PageRequest) -> Response:
        """Let a pattern that is kept say something else from now on."""
        text, seen = _text(asked.body), read(asked.body, "version", Version)
        return self._with(lambda own: own.write(_number(asked), text, seen))

    def rename(self, asked: PageRequest) -> Response:
        """Call a pattern something else."""
        name = read(asked.body, "name", GivenName)
        seen = read(asked.body, "version", Version | None)
        return self._with(lambda own: own.rename(_number(asked), name, seen))

    def copy(self, asked: PageRequest) -> Response:
        """Keep a pattern a second time; one that comes along becomes one's own so."""
        name = read(asked.body, "name", GivenName | None)
        return self._with(lambda own: _copied(own, asked, name), status=201)

    def remove(self, asked: PageRequest) -> Response:
        """Take a pattern out of the list; undoing brings it back."""
        seen = read(asked.body, "version", Version | None)
        return self._with(lambda own: own.remove(_number(asked), seen))

    def undo(self, asked: PageRequest) -> Response:
        """Take back what was done to a pattern last."""
        seen = read(asked.body, "version", Version | None)
        return self._with(lambda own: own.undo(_number(asked), seen))

    def redo(self, asked: PageRequest) -> Response:
        """Do again what was taken back last."""
        seen = read(asked.body, "version", Version | None)
        return self._with(lambda own: own.redo(_number(asked), seen))

    def file(self, asked: PageRequest) -> Response:
        """Answer with a pattern as a file to take along."""
        from cli.page.routes.downloads import attached

        kept: StoredPattern = self._own(lambda own: own.numbered(_number(asked)))
        return attached(kept.text.encode(), f"{kept.name}.toml")

    def made_by(self, asked: PageRequest) -> Response:
        """Answer which patterns a bundle could make."""
        from catalog.catalogue.patterns.pattern_fits import tried_patterns

        kept = self.state.kept(asked.number("bundle"))
        return self._fits([kept], self._own(lambda own: tried_patterns(own.all())))

    def tried_on(self, asked: PageRequest) -> Response:
        """Answer which of the kept bundles make a pattern."""
        from catalog.catalogue.patterns.pattern_fits import tried_patterns

        name = asked.query.get("name", "").strip().casefold()
        meant = [
            one
            for one in self._own(lambda own: tried_patterns(own.all()))
            if one.line.name.casefold() == name
        ]
        if not meant:
            raise PatternError(
                f'no pattern is called "{asked.query.get("name", "")[:60]}"',
                "choose one of the list",
            )
        with self.state.catalogue() as catalogue:
            numbers = [line.id for line in catalogue.lines()]
        return self._fits([self.state.kept(number) for number in numbers], meant)

    def _fits(self, bundles: Sequence[StoredBundle], patterns: Sequence[TriedPattern]) -> Response:
        """Answer with bundles counted for patterns, each pair remembered while neither changes."""
        from catalog.catalogue.patterns.pattern_fits import fit_of, in_order
        from cli.patterns.fits_json import fit_object

        def fit(kept: StoredBundle, tried: TriedPattern) -> PatternFit:
            text = tried.read.text if tried.read else ""
            key = ("fit", *stamp(kept), tried.line, hash(text))
            return self.state.fits.of(key, lambda: fit_of(kept, tried))

        found = in_order(fit(kept, tried) for kept in bundles for tried in patterns)
        return told({"fits": [fit_object(one) for one in found]})

    def _own(self, work: Callable[[OwnPatterns], T]) -> T:
        """Do some work on the patterns that are kept.

        Raises
        ------
        NotThereError
            The pattern of a number isn't.
        """
        from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns

        with self.state.catalogue() as catalogue:
            try:
                return work(OwnPatterns(catalogue))
            except MissingPatternError as error:
                raise NotThereError(error.problem, "choose one of the list") from error

    def _with(self, work: Callable[[OwnPatterns], StoredPattern], status: int = 200) -> Response:
        """Answer with a pattern as it stands after some work."""
        stands = self._own(work)
        self.state.watch.look()
        return told(pattern_view(stands), status)


def lines_of(state: ServerState) -> tuple[PatternLine, ...]:
    """Return what a list says of all patterns: those that come along, then one's own."""
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
    from catalog.catalogue.patterns.stored_pattern import shipped_lines

    with state.catalogue() as catalogue:
        return (*shipped_lines(), *OwnPatterns(catalogue).lines())


def pattern_line_view(line: PatternLine) -> View:
    """Return what the list shows of a pattern; a shipped one has no number and no version."""
    return {
        "id": line.id,
        "name": line.name,
        "title": line.title,
        "says": line.says,
        "construction": line.construction,
        "version": line.version,
        "shipped": line.id is None,
    }


def shipped_view(name: str) -> View:
    """Return a pattern that comes along, which nothing is done to."""
    from catalog.catalogue.patterns.stored_pattern import shipped_lines
    from catalog.pattern.pattern_file import pattern_text

    line = next(one for one in shipped_lines() if one.name == name)
    more = {"text": pattern_text(name), "undo": False, "redo": False, "removed": False}
    return pattern_line_view(line) | more | {"history": []}


def pattern_view(kept: StoredPattern) -> View:
    """Return a pattern that is kept with its file and its history."""
    from catalog.catalogue.patterns.pattern_events import told_events
    from catalog.catalogue.patterns.stored_pattern import line_of

    return pattern_line_view(line_of(kept)) | {
        "text": kept.text,
        "removed": kept.removed,
        "undo": kept.undoes is not None,
        "redo": kept.redoes is not None,
        "history": [
            {"number": one.number, "says": words, "at": one.at, "undone": bool(one.undone)}
            for one, words in told_events(kept.events)
        ],
    }


def _number(asked: PageRequest) -> int:
    """Return the number in the address of a pattern."""
    text = str(asked.path["pattern"])
    if not text.isdecimal() or len(text) > MAX_DIGITS:
        raise NotThereError("there is no such pattern", "choose one of the list")
    return int(text)


def _text(body: Args) -> str:
    """Return the pattern file that the page sent, line by line as it is."""
    text = body.get("text")
    if not isinstance(text, str) or len(text) > MAX_PATTERN_LETTERS:
        raise unfit("text", "a pattern file")
    return text


def _copied(own: OwnPatterns, asked: PageRequest, name: str | None) -> StoredPattern:
    from catalog.pattern.pattern_file import pattern_text, shipped_name

    shipped = shipped_name(asked.path["pattern"])
    if shipped:
        return own.keep(name or own.free_name(f"my {shipped}"), pattern_text(shipped))
    return own.copy(own.numbered(_number(asked)), name)
