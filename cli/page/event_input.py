"""What the page sends, checked and made into deeds; nothing is believed of its shape."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any, Final, cast, get_args

from catalog import rule_limits
from catalog.catalogue.events import event_makers as say
from catalog.catalogue.events import wall_events
from catalog.catalogue.records import MARKS
from catalog.errors import UsageError
from catalog.models import Ground
from cli.page.input_checks import AGAIN, Args, Said, unfit, whole

if TYPE_CHECKING:
    from catalog.catalogue.records import Deed, Kept
    from catalog.models import BundleRole

MOST_DEEDS: Final = 200
MOST_PLACE: Final = 1_000
ROLES: Final = ("", "feature", "background")


def deeds_of(body: Args, kept: Kept) -> list[Deed]:
    """Return the deeds that the page asks for.

    Raises
    ------
    CalicountError
        One that is none, or that makes no sense for this bundle.
    """
    asked = body.get("deeds")
    if not isinstance(asked, list) or not 1 <= len(asked) <= MOST_DEEDS:
        raise unfit("deeds", f"a list of 1 to {MOST_DEEDS}")
    return [_deed(one, kept) for one in asked]


def version_of(body: Args) -> int:
    """Return the bundle's version that the page saw last."""
    return whole(body.get("version"), "version", 1, 2**53)


def _deed(asked: object, kept: Kept) -> Deed:
    kind = asked.get("kind") if isinstance(asked, dict) else None
    make = _MAKERS.get(kind) if isinstance(kind, str) else None
    if make is None:
        raise UsageError("that can't be done to a bundle", AGAIN)
    return make(Said(cast("Args", asked), kept))


def _row_and_column(said: Said) -> tuple[int, int]:
    return said.whole("row", 1, MOST_PLACE), said.whole("col", 1, MOST_PLACE)


def _missed(said: Said) -> Deed:
    photo = said.photo()
    row, col = _row_and_column(said) if said.has("row") else (None, None)
    return say.missed(photo, 0, said.corners(photo), row, col)


def _corners(said: Said) -> Deed:
    square = said.square()
    return say.moved(square, said.corners(said.kept.state.squares[square].photo))


def _same_piece(said: Said) -> Deed:
    pair = said.squares()
    if len(pair) != 2:
        raise unfit("squares", "two different squares")
    for square in (said.kept.state.squares[number] for number in pair):
        if not square.live:
            raise UsageError(f"{square.label} is {square.why_not_free}", "choose another")
    return say.same_piece(pair[0], pair[1])


def _ground(said: Said) -> Deed:
    ground = said.choice("ground", get_args(Ground)) if said.has("ground") else None
    return say.ground(said.photo(), cast("Ground | None", ground))


def _lock(said: Said) -> Deed:
    size = said.kept.state.rules.set_size
    sets = said.groups("sets", 2, 4)
    for one in sets:
        if len(one) != size:
            labels = " + ".join(map(said.kept.label, one))
            raise UsageError(
                f"{labels} can't be kept together: sets are of {size} squares now",
                f"choose {size} squares, or change the size of the sets",
            )
        _only_free(said, one)
    return replace(say.lock(sets[0]), args={"sets": sets})


def _only_free(said: Said, squares: Sequence[int]) -> None:
    """Refuse squares that no set may use."""
    for number in squares:
        square = said.kept.state.squares[number]
        if not square.free:
            raise UsageError(f"{square.label} is {square.why_not_free}", "choose another")


def _swap(said: Said) -> Deed:
    _only_free(said, [*said.squares("first"), *said.squares("second")])
    return say.swap(said.squares("first"), said.squares("second"), said.square("a"),
                    said.square("b"))  # fmt: skip


def _rules(said: Said) -> Deed:
    standing = asdict(said.kept.state.rules)
    readers: Mapping[str, Callable[[str], Any]] = {
        "set_size": lambda name: said.whole(name, *_whole(rule_limits.SET_SIZE)),
        "tolerance": lambda name: _between(said, name, rule_limits.TOLERANCE),
        "least_step": lambda name: _between(said, name, rule_limits.STEP),
        "most_step": lambda name: _between(said, name, rule_limits.STEP),
        "same_fabric": lambda name: said.choice(name, ("allow", "prefer", "avoid")),
        "lightness_weight": lambda name: _between(said, name, rule_limits.LIGHTNESS_WEIGHT),
        "families": lambda name: said.whole(name, *_whole(rule_limits.FAMILIES)),
    }
    may_be_none = {"tolerance", "most_step", "families"}
    for name, read in readers.items():
        if said.names(name):
            none = name in may_be_none and not said.has(name)
            standing[name] = None if none else read(name)
    rules = say.standing_rules(standing)
    if rules.most_step is not None and rules.most_step < rules.least_step:
        raise UsageError("the most step is less than the least step", "turn them round")
    return say.rules(rules)


def _between(said: Said, name: str, within: rule_limits.Limits) -> float:
    return said.number(name, within.least, within.most)


def _whole(within: rule_limits.Limits) -> tuple[int, int]:
    return int(within.least), int(within.most)


def _reserve(said: Said) -> Deed:
    sets = said.groups("sets", 1, 4)
    for one in sets:
        _only_free(said, one)
    pattern = said.text("pattern") if said.has("pattern") else ""
    return say.reserve(said.text("project"), sets, pattern)


def _stage(said: Said) -> Deed:
    make = say.sewn if said.choice("stage", ("reserved", "sewn")) == "sewn" else say.unsewn
    return make(said.text("project"), said.squares())


def _hang(said: Said) -> Deed:
    wall = said.text("wall")
    if said.has("swap"):
        one, other = said.places("swap")
        return wall_events.exchanged(wall, one, other, said.two_hands("squares"))
    squares = said.squares() if said.has("squares") else None
    return wall_events.ticked(wall, said.place("done"), on=said.yes("on"), squares=squares)


_MAKERS: Final[Mapping[str, Callable[[Said], Deed]]] = {
    "not a square": lambda said: say.not_squares(said.squares()),
    "missed": _missed,
    "corners": _corners,
    "place": lambda said: say.placed(said.square(), *_row_and_column(said)),
    "one fabric": lambda said: say.one_fabric(said.squares()),
    "own fabric": lambda said: say.own_fabric(said.squares()),
    "name": lambda said: say.named(said.squares(), said.text("text")),
    "role": lambda said: say.role(said.squares(), cast("BundleRole", said.choice("role", ROLES))),
    "mark": lambda said: say.marked(
        said.squares(), cast("Any", said.choice("mark", MARKS)), on=said.yes("on")
    ),
    "same piece": _same_piece,
    "white": lambda said: say.white(said.square_or_none()),
    "grey": lambda said: say.grey(said.square_or_none()),
    "ground": _ground,
    "drop photo": lambda said: say.drop_photo(said.photo()),
    "lock": _lock,
    "unlock": lambda said: say.unlock(said.squares()),
    "forbid": lambda said: say.forbid(said.groups("pairs", 2, 2)),
    "allow": lambda said: say.allow(said.groups("pairs", 2, 2)),
    "take apart": lambda said: say.take_apart(said.squares()),
    "swap": _swap,
    "rules": _rules,
    "reserve": _reserve,
    "stage": _stage,
    "returned": lambda said: say.returned(said.text("project"), said.squares()),
    "hang": _hang,
}
KINDS: Final = frozenset(_MAKERS)
