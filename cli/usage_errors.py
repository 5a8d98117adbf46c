"""What was typed and can't be understood, told in one sentence like all that goes wrong.

The command line's own library says it in its own words, in a frame, over several lines.
"""

from __future__ import annotations

import difflib
import re
from typing import Any, Final

from catalog.errors import CalicountError, UsageError

WORDS: Final = (
    (r"^Value error, ", ""),
    (r"^Input should be a valid integer.*", "takes a whole number"),
    (r"^Input should be a valid number.*", "takes a number"),
    (r"^Input should be greater than or equal to (\S+)$", r"takes \1 or more"),
    (r"^Input should be less than or equal to (\S+)$", r"takes \1 at most"),
    (r"^.* is not a valid int(eger)?\b.*", "takes a whole number"),
    (r"^.* is not a valid float\b.*", "takes a number"),
    (r"^Option '?(--?[\w-]+)'? requires (an|\d+) arguments?\.?$", r"\1 needs something after it"),
    (
        r"^Got unexpected extra arguments?(?:\(s\))? \((.*)\)\.?$",
        r"'\1' is too much (a name of several words goes in quotes)",
    ),
)
"""The library's words, and plain ones."""


def in_a_sentence(error: Exception) -> CalicountError | None:
    """Return a typing mistake as an error of ours; None for anything else.

    Parameters
    ----------
    error : Exception
        Raised by Typer, or by the library that it is built on, which moves between versions and
        is known here by the names of its classes only.
    """
    kinds = {kind.__name__ for kind in type(error).__mro__}
    if "UsageError" not in kinds or "NoArgsIsHelpError" in kinds:
        return None
    context: Any = getattr(error, "ctx", None)
    command = _called(context)
    shows = f"{command} --help shows how it is written"
    if "MissingParameter" in kinds:
        return UsageError(f"{_hint(error)} is missing", shows)
    if "NoSuchOption" in kinds:
        return _no_option(error, command)
    said = str(getattr(error, "message", error)).strip()
    unknown = re.match(r"No such command '(.*?)'", said, re.DOTALL)
    if unknown and context:
        return _no_command(unknown[1], context, command)
    what = _hint(error) if "BadParameter" in kinds else ""
    return UsageError(" ".join(f"{what} {_plain(said)}".split()), shows)


def _called(context: Any) -> str:  # noqa: ANN401 - the library moves between versions
    """Return the command as it is typed, however it was started."""
    names: list[str] = []
    while context is not None and context.parent is not None:
        names.insert(0, context.info_name)
        context = context.parent
    return " ".join(["calicount", *names])


def _hint(error: Any) -> str:  # noqa: ANN401 - the library moves between versions
    """Return what the help calls the part of the command that is meant."""
    if error.param is None:
        return str(error.param_hint or "something")
    if error.param.param_type_name == "argument":
        return str(error.param.metavar or error.param.name.upper()).strip("[]{}")
    return str(max(error.param.opts, key=len))


def _no_option(error: Any, command: str) -> UsageError:  # noqa: ANN401 - see `_hint`
    near = ", ".join(error.possibilities or ())
    lists = f"{command} --help lists them"
    if not error.option_name.startswith("--"):
        lists += ", and a name that begins with a dash goes after -- and a blank"
    cure = f"perhaps you mean {near}; {lists}" if near else lists
    return UsageError(f"{command} has no option {error.option_name}", cure)


def _no_command(said: str, context: Any, command: str) -> UsageError:  # noqa: ANN401 - see `_hint`
    near = difflib.get_close_matches(said, context.command.list_commands(context), 3)
    lists = f"{command} --help lists those it has"
    cure = f"perhaps you mean {' or '.join(near)}; {lists}" if near else lists
    return UsageError(f"{command} has no command '{said[:80]}'", cure)


def _plain(said: str) -> str:
    for pattern, words in WORDS:
        said = re.sub(pattern, words, said)
    return said.rstrip(".")
