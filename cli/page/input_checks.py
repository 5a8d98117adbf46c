"""What the page sends, checked member by member against the type that it must have."""

from __future__ import annotations

from collections.abc import Mapping
from types import UnionType
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin

import msgspec
from msgspec import Meta, UnsetType

from catalog.errors import UsageError

Args = Mapping[str, Any]

MAX_SHOWN: Final = 10**9
"""Whole numbers below this are shown where they are refused (choice of ours)."""
AGAIN: Final = "load the page again"
Version = Annotated[int, Meta(ge=1, le=2**53)]
EventNumber = Annotated[int, Meta(ge=1, le=2**31)]
_PLAIN: Final = {bool: "yes or no", int: "a whole number", float: "a number", str: "a text"}


def read(args: Args, name: str, fit: Any) -> Any:  # noqa: ANN401 - of that type
    """Return a member of what the page sent.

    Parameters
    ----------
    args : mapping
    name : str
        A member that isn't there counts as null.
    fit : type
        That it must have; descriptions beside types tell how they are called.

    Raises
    ------
    UsageError
        It hasn't.
    """
    value = args.get(name)
    if isinstance(value, str):
        value = "".join(sign if sign.isprintable() else " " for sign in value)
    try:
        return msgspec.convert(value, fit)
    except msgspec.ValidationError as error:
        if str(error).startswith("Expected `int`, got") and " - at " in str(error):
            raise unfit("square", "a square's number") from None  # whole numbers in lists are those
    except (UnicodeError, OverflowError):
        pass
    raise _refusal(name, value, fit)


def unfit(name: str, what: str) -> UsageError:
    """Return the error of something that the page should not have sent."""
    return UsageError(f"the page sent {name} that is not {what}", AGAIN)


def is_shown(value: object) -> bool:
    """Tell whether something that is refused is short enough to be shown."""
    return type(value) is int and abs(value) < MAX_SHOWN


def _refusal(name: str, value: object, fit: Any) -> UsageError:  # noqa: ANN401 - a type
    """Return the error of a value that doesn't fit a type."""
    kind, metas = _parted(fit)
    told = next((one.description for one in metas if one.description), None)
    limits = next((one for one in metas if one.ge is not None), None)
    if get_origin(kind) is Literal:
        told = f"one of {', '.join(one or 'nothing' for one in get_args(kind))}"
    elif kind is int and type(value) is int and limits and not told:
        shown = f" {value}" if is_shown(value) else ""
        return UsageError(f"the {name}{shown} can't be meant", f"give {limits.ge} to {limits.le}")
    elif kind is float and type(value) in {int, float} and limits:
        told = f"from {limits.ge:g} to {limits.le:g}"
    return unfit(name, told or _PLAIN.get(kind, "as it must be"))


def _parted(fit: Any) -> tuple[Any, list[Meta]]:  # noqa: ANN401 - a type
    """Return a type without None, and what is said beside it."""
    if get_origin(fit) in {Union, UnionType}:
        (fit, *_) = (one for one in get_args(fit) if one not in {type(None), UnsetType})
    if get_origin(fit) is Annotated:
        kind, *beside = get_args(fit)
        return kind, [one for one in beside if isinstance(one, Meta)]
    return fit, []
