"""All kinds of events, and how their rows are read."""

from __future__ import annotations

from typing import Any, Final, get_args

import msgspec

from catalog.catalogue.events.answer_events import RightAsFound
from catalog.catalogue.events.event_base import Event, UnknownEvent, two
from catalog.catalogue.events.photo_events import (
    DroppedPhoto,
    GreySquare,
    PhotoGround,
    PhotoLamp,
    WhiteSquare,
)
from catalog.catalogue.events.project_events import ProjectStage, ReservedSets, ReturnedSets
from catalog.catalogue.events.set_events import (
    AllowedPairs,
    ForbiddenPairs,
    LockedSets,
    SetTakenApart,
    SwappedSquares,
    UnlockedSets,
)
from catalog.catalogue.events.square_events import (
    MarkedSquares,
    MissedSquare,
    MovedCorners,
    NamedSquares,
    NotASquare,
    OneFabric,
    OwnFabric,
    PlacedSquare,
    SamePiece,
    SquaresRole,
)
from catalog.catalogue.events.standing_events import PairedSets, SetsChosenAnew
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.events.wall_events import (
    ClothOnWall,
    ExchangedBlocks,
    RehungBlocks,
    SewnBlock,
    TakenWall,
)

__all__ = [
    "CLASSES", "KINDS", "AllowedPairs", "AnyEvent", "ClothOnWall", "DroppedPhoto",
    "ExchangedBlocks", "ForbiddenPairs", "GreySquare", "LockedSets", "MarkedSquares",
    "MissedSquare", "MovedCorners", "NamedSquares", "NotASquare", "OneFabric", "OwnFabric",
    "PairedSets", "PhotoGround", "PhotoLamp", "PlacedSquare", "ProjectStage", "RehungBlocks",
    "ReservedSets", "ReturnedSets", "RightAsFound", "SamePiece", "SetTakenApart", "SetsChosenAnew",
    "SewnBlock", "SquaresRole", "StandingRules", "SwappedSquares", "TakenWall", "UnknownEvent",
    "UnlockedSets", "WhiteSquare", "event_of", "is_event", "tag_of", "two",
]  # fmt: skip

AnyEvent = (
    NotASquare | MissedSquare | MovedCorners | PlacedSquare | SamePiece
    | OneFabric | OwnFabric | NamedSquares | SquaresRole | MarkedSquares
    | WhiteSquare | GreySquare | PhotoGround | PhotoLamp | DroppedPhoto
    | LockedSets | UnlockedSets | ForbiddenPairs | AllowedPairs | SetTakenApart | SwappedSquares
    | StandingRules | ReservedSets | ProjectStage | ReturnedSets | ExchangedBlocks | SewnBlock
    | TakenWall | RehungBlocks | SetsChosenAnew | RightAsFound | ClothOnWall
)  # fmt: skip
"""Every kind."""
CLASSES: Final[dict[str, type[Event]]] = {
    str(one.__struct_config__.tag): one for one in get_args(AnyEvent)
}
"""By tag."""
CHOSEN: Final = str(PairedSets.__struct_config__.tag)
"""What rows and archives call a choice of sets, which no person can say."""
KINDS: Final = frozenset(tag.partition(":")[0] for tag in CLASSES)


def tag_of(kind: object, args: Any) -> str:  # noqa: ANN401 - as JSON gives it
    """Return the tag of what a row or the page calls a kind; empty for none."""
    if kind == "hang" and isinstance(args, dict):
        if args.get("taken") is not None:
            return "hang: as it hangs"
        if args.get("moved") is not None:
            return "hang: moved"
        if args.get("cloth") is not None:
            return "hang: cloth"
        return "hang: exchanged" if args.get("swap") is not None else "hang: sewn"
    return kind if isinstance(kind, str) and kind in CLASSES else ""


def event_of(kind: str, args: Any) -> Event:  # noqa: ANN401 - as JSON gives it
    """Return the event of a row, an `UnknownEvent` where it isn't as calicount writes it."""
    try:
        of = PairedSets if kind == CHOSEN else CLASSES[tag_of(kind, args)]
        return msgspec.convert(args, of)
    except (msgspec.ValidationError, KeyError, UnicodeError):
        return UnknownEvent(kind, args)


def is_event(kind: str, args: Any) -> bool:  # noqa: ANN401 - as JSON gives it
    """Whether a row from elsewhere is an event that is known, with its fields and no more."""
    event = event_of(kind, args)
    return not isinstance(event, UnknownEvent) and event.args.keys() == args.keys()
