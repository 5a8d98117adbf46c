"""Commands that say something of a kept bundle: options to events, and one way to do them."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any, get_type_hints

from cli.bundles.open_bundle import change
from cli.options import BundleName, Manner

_ANY_WAY = inspect.Parameter.POSITIONAL_OR_KEYWORD
_GIVEN = {"file", "kept"}
_LATE = dict.fromkeys(("Catalogue", "Event", "Kept"), object)
"""Names in annotations that aren't imported before a command runs."""


def says(events_of: Callable[..., Any]) -> Callable[..., None]:
    """Make a command of a function from a bundle and options to events.

    Parameters
    ----------
    events_of : callable
        Takes the bundle as it stands as ``kept``, the open catalogue as ``file`` if it needs it,
        and then the command's own arguments and options; gives an event, or a list of them.

    Returns
    -------
    callable
        The same with the bundle's name before, and which catalogue and how to answer behind.
    """

    def command(name: str, manner: Manner, **given: Any) -> None:  # noqa: ANN401 - what was typed
        def events(file: object, kept: object) -> list[Any]:
            at_hand = {"file": file, "kept": kept}
            made = events_of(**{at: at_hand[at] for at in at_hand if at in own}, **given)
            return made if isinstance(made, list) else [made]

        change(name, manner, events)

    own = inspect.signature(events_of).parameters
    hints = get_type_hints(events_of, localns=_LATE, include_extras=True)
    parameters = [
        inspect.Parameter("name", _ANY_WAY, annotation=BundleName),
        *(one.replace(annotation=hints[name]) for name, one in own.items() if name not in _GIVEN),
        inspect.Parameter("manner", inspect.Parameter.KEYWORD_ONLY, annotation=Manner),
    ]
    command.__name__, command.__doc__ = events_of.__name__, events_of.__doc__
    command.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    return command
