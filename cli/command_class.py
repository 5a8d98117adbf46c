"""What all commands have in common: how they are interrupted, and how their help reads."""

from __future__ import annotations

import inspect
import os
import re
from collections.abc import Callable
from dataclasses import is_dataclass
from functools import partial, wraps
from pathlib import Path
from typing import Annotated, Any, Final, TypeVar, get_args, get_origin

from typer.core import TyperCommand, TyperGroup

from cli import interrupts

_Done = TypeVar("_Done", bound=Callable[..., None])
LONGEST_CHOICE: Final = 26
"""Signs of a list of choices that the help's narrow column shows without breaking a word."""


class _Plain:
    """Help without names of types and with each paragraph set as a whole; words taken as typed."""

    help: str | None
    callback: Callable[..., Any] | None

    def full_help(self) -> str:
        """Return the help with what `told_late` keeps out of it until it is asked for."""
        text = self.help or ""
        for word, words in getattr(self.callback, "told_late", {}).items():
            text = text.replace(word, words())
        return text

    def format_help(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401 - see `Command`
        """Write the help."""
        short, self.help = self.help, in_whole_paragraphs(self.full_help())
        for one in self.get_params(ctx):
            _show_no_type(one, ctx)
        super().format_help(ctx, formatter)  # type: ignore[misc]
        self.help = short

    def get_params(self, ctx: Any) -> list[Any]:  # noqa: ANN401 - see `Command`
        """Return the options and arguments, which have words looked at only where they need it."""
        found: list[Any] = super().get_params(ctx)  # type: ignore[misc]
        hints = getattr(self.callback, "__annotations__", {})
        for one in found:
            if "process_value" not in vars(one):
                kind = _kind_of(hints.get(one.name))
                one.process_value = partial(_taken, one, kind, one.process_value)
        return found


class Command(_Plain, TyperCommand):
    """A command that is interrupted with care once it has begun its work."""

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401 - Typer's context moves between versions
        """Do the work."""
        with interrupts.Raised():
            return super().invoke(ctx)


class Family(_Plain, TyperGroup):
    """Commands that are called by two words."""


def told_late(word: str, words: Callable[[], str]) -> Callable[[_Done], _Done]:
    """Put into a command's help, once it is asked for, what takes reading to know.

    Parameters
    ----------
    word : str
        In the command's docstring, where `words` are to stand.
    words : callable
        Tells them.
    """

    def marked(command: _Done) -> _Done:
        command.told_late = {word: words}  # type: ignore[attr-defined]
        return command

    return marked


def spread_out(command: Callable[..., None]) -> Callable[..., None]:
    """Return a command with the fields of its groups of options as parameters of its own.

    A group is a dataclass whose fields say what options they are, as `cli.options.Manner`. The
    help lists them in the order of the fields, or in that which a parameter's ``Annotated`` tells,
    such as ``Annotated[Manner, reversed]``. The command is called with the group made.
    """
    groups: dict[str, tuple[Any, tuple[str, ...]]] = {}
    shown: list[inspect.Parameter] = []
    signature = inspect.signature(command, eval_str=True)
    for one in signature.parameters.values():
        noted = get_origin(one.annotation) is Annotated
        kind, order = get_args(one.annotation)[:2] if noted else (one.annotation, list)
        if is_dataclass(kind) and isinstance(kind, type):
            fields = inspect.signature(kind, eval_str=True).parameters
            groups[one.name] = (kind, tuple(fields))
            shown += order(list(fields.values()))
        else:
            shown.append(one)

    @wraps(command)
    def called(**given: Any) -> None:  # noqa: ANN401 - what was typed, of any kind
        for name, (kind, fields) in groups.items():
            given[name] = kind(**{field: given.pop(field) for field in fields})
        command(**given)

    called.__annotations__ = {one.name: one.annotation for one in shown}
    parameters = [one.replace(kind=inspect.Parameter.KEYWORD_ONLY) for one in shown]
    called.__signature__ = signature.replace(parameters=parameters)  # type: ignore[attr-defined]
    return called


def _kind_of(hint: object) -> object:
    """Return the class of what an option or argument takes, of each where it takes several."""
    kinds = [one for one in get_args(hint) if one is not type(None)]
    if get_origin(hint) is Annotated:
        return _kind_of(kinds[0])
    return _kind_of(kinds[0]) if len(kinds) == 1 else hint


def _taken(
    one: Any,  # noqa: ANN401 - see `Command`
    kind: object,
    usual: Callable[[Any, Any], Any],
    ctx: Any,  # noqa: ANN401 - see `Command`
    typed: Any,  # noqa: ANN401 - see `Command`
) -> Any:  # noqa: ANN401 - see `Command`
    """Return what was typed as the command takes it.

    Nothing, text and paths need no looking at. Typer has a library of data models do it all the
    same, which takes a tenth of a second to be imported and to make a model of each option.
    """
    several = one.nargs == -1 or getattr(one, "multiple", False)
    words = typed if several else [typed]
    if typed is None and not one.required:
        taken: Any = () if several else None
    elif isinstance(kind, type) and words and all(_as_it_is(word, kind) for word in words):
        taken = [kind(word) for word in words] if several else kind(typed)
    else:
        return usual(ctx, typed)
    return one.callback(ctx, one, taken) if one.callback else taken


def _as_it_is(word: object, kind: type) -> bool:
    """Whether nothing can be said against a word: no odd sign in it, no file that can't be read.

    What is a number or a choice already wasn't typed, but stands where nothing was.
    """
    if type(word) is not str:
        return type(word) is kind
    if kind not in {str, Path} or not word.isprintable():
        return False
    return kind is str or not os.path.exists(word) or os.access(word, os.R_OK)  # noqa: PTH110


def in_whole_paragraphs(text: str) -> str:
    """Return text whose lines end only where a paragraph does."""
    return "\n\n".join(" ".join(one.split()) for one in inspect.cleandoc(text).split("\n\n"))


def _show_no_type(one: Any, ctx: Any) -> None:  # noqa: ANN401 - see `Command`
    """Let the help show what is to be typed, not how the program keeps it.

    Choices that would be broken within a word move to the explanation.
    """
    if not hasattr(one, "display_type_rich"):  # a version of Typer that shows no types
        return
    shown = one.display_type_rich(ctx) or ""
    choices = re.fullmatch(r"<([^|]+(?:\|[^|]+)+)>", shown)
    if choices and len(shown) > LONGEST_CHOICE:
        shown = one.name.upper() if one.param_type_name == "option" else ""
        *first, last = choices[1].split("|")
        one.help = f"{(one.help or '').rstrip()} One of {', '.join(first)} or {last}.".strip()
    elif not choices and shown.startswith("<"):
        shown = ""
    one.display_type_rich = lambda ctx: shown or None
