"""Commands that say something of a kept bundle: options to events, and one way to do them."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Any, get_type_hints

from cli.bundles.open_bundle import change
from cli.corrections.previewed_change import would_change
from cli.options import BundleName, LookFlag, Manner

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.events import event_kinds as events
    from catalog.catalogue.events.event_base import Event
    from catalog.catalogue.records import StoredBundle
else:
    Catalogue = Event = StoredBundle = object

    class _Late:
        """The events' module, loaded when the first of its classes is asked for."""

        def __getattr__(self, name: str) -> object:
            return getattr(import_module("catalog.catalogue.events.event_kinds"), name)

    events = _Late()

__all__ = ["Catalogue", "Event", "StoredBundle", "events", "says"]

_ANY_WAY = inspect.Parameter.POSITIONAL_OR_KEYWORD


def says(events_of: Callable[..., Event | list[Event]]) -> Callable[..., None]:
    """Make a command of a function from a bundle and options to events.

    Parameters
    ----------
    events_of : callable
        Takes the bundle as it stands as ``kept``, the open catalogue as ``file`` if it needs it,
        and then the command's own arguments and options; gives an event, or a list of them.

    Returns
    -------
    callable
        The same with the bundle's name before, and behind whether it is only looked at what would
        change, which catalogue, and how to answer.
    """

    def command(name: str, manner: Manner, look: bool, **given: Any) -> None:  # noqa: ANN401 - what was typed
        def made(file: Catalogue, kept: StoredBundle) -> list[Event]:
            at_hand = {"file": file, "kept": kept}
            said = events_of(**{at: at_hand[at] for at in at_hand if at in own}, **given)
            return said if isinstance(said, list) else [said]

        (would_change if look else change)(name, manner, made)

    own = inspect.signature(events_of).parameters
    hints = get_type_hints(events_of, include_extras=True)
    typed = [one.replace(annotation=hints[name]) for name, one in own.items()]
    command.__name__, command.__doc__ = events_of.__name__, events_of.__doc__
    command.__signature__ = inspect.Signature(  # type: ignore[attr-defined]
        [
            inspect.Parameter("name", _ANY_WAY, annotation=BundleName),
            *(one for one in typed if one.name not in {"file", "kept"}),
            inspect.Parameter(
                "look", inspect.Parameter.KEYWORD_ONLY, annotation=LookFlag, default=False
            ),
            inspect.Parameter("manner", inspect.Parameter.KEYWORD_ONLY, annotation=Manner),
        ]
    )
    return command
