"""What a person said or did about a bundle, in plain words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from catalog.catalogue.events.rule_words import change_words, rules_words
from catalog.catalogue.records import Deed, Kept

__all__ = ["KINDS", "rules_words", "words_of"]

MOST_NAMED: Final = 6
"""Squares named one by one; of more only the first are."""
TAKEN_BACK: Final = "a square taken back"
"""A square that a person drew and whose drawing was undone since."""

Args = Mapping[str, Any]


def words_of(deed: Deed, kept: Kept) -> str:
    """Say what a deed is.

    Parameters
    ----------
    deed : Deed
        Holding, undone, or not yet done.
    kept : Kept
        The bundle that it belongs to; squares are called by the labels that they have in it.

    Returns
    -------
    str
        A clause without a full stop, such as ``R3C4 is no square``, fit to stand after "Undo:".
    """
    if deed.kind == "rules":
        return change_words(deed, kept.deeds)
    tell = _WORDS.get(deed.kind)
    return tell(deed.args, _Names(kept)) if tell else deed.kind


class _Names:
    """What squares and photos of a bundle are called."""

    def __init__(self, kept: Kept) -> None:
        self._squares = kept.state.squares
        self._seen = {one.id: one.label for one in kept.seen if one.square is not None}
        self._photos = {one.id: one.name for one in (*kept.photos, *kept.gone_photos)}

    def square(self, number: int) -> str:
        """Return a square's label; of one that is out and lost its place, what the photo said."""
        if number not in self._squares:
            return TAKEN_BACK
        one = self._squares[number]
        return (
            self._seen.get(number, one.label)
            if one.dropped and one.square.row is None
            else one.label
        )

    def squares(self, numbers: Sequence[int]) -> str:
        """Name squares in a sentence."""
        return _listed([self.square(number) for number in numbers])

    def together(self, numbers: Sequence[int]) -> str:
        """Name a set."""
        return " + ".join(self.square(number) for number in numbers)

    def sets(self, sets: Sequence[Sequence[int]]) -> str:
        """Name sets."""
        return _listed([self.together(one) for one in sets])

    def photo(self, number: int) -> str:
        """Return a photo's name."""
        return self._photos.get(number, "a photo")


def _listed(names: Sequence[str]) -> str:
    if len(names) > MOST_NAMED:
        shown = names[: MOST_NAMED - 1]
        return f"{', '.join(shown)} and {len(names) - len(shown)} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else "nothing"


def _is(numbers: Sequence[int], one: str, many: str) -> str:
    return one if len(numbers) == 1 else many


def _be(numbers: Sequence[int]) -> str:
    return _is(numbers, "is", "are")


def _not_a_square(args: Args, names: _Names) -> str:
    meant = args["squares"]
    return f"{names.squares(meant)} {_is(meant, 'is no square', 'are no squares')}"


def _missed(args: Args, names: _Names) -> str:
    return f"{names.square(args['square'])} drawn on {names.photo(args['photo'])}"


def _corners(args: Args, names: _Names) -> str:
    return f"corners of {names.square(args['square'])} put right"


def _place(args: Args, names: _Names) -> str:
    return f"{names.square(args['square'])} put in row {args['row']}, column {args['col']}"


def _one_fabric(args: Args, names: _Names) -> str:
    return f"{names.squares(args['squares'])} are cut from one fabric"


def _own_fabric(args: Args, names: _Names) -> str:
    meant = args["squares"]
    return f"{names.squares(meant)} {_is(meant, 'is a fabric of its own', 'are a fabric apart')}"


def _name(args: Args, names: _Names) -> str:
    meant = args["squares"]
    if not args["text"]:
        return f"name of {names.squares(meant)} taken away"
    return f"{names.squares(meant)} {_is(meant, 'is', 'are')} called “{args['text']}”"


def _role(args: Args, names: _Names) -> str:
    meant, role = args["squares"], args["role"]
    if not role:
        return f"{names.squares(meant)} may be feature or background"
    return f"{names.squares(meant)} {_be(meant)} for the {role}"


def _mark(args: Args, names: _Names) -> str:
    meant, mark = args["squares"], args["mark"]
    now = {"wrong side": "wrong side up", "cut": "cut already"}.get(mark, mark)
    return f"{names.squares(meant)} {_be(meant)} {'' if args['on'] else 'not '}{now}"


def _same_piece(args: Args, names: _Names) -> str:
    return f"{names.squares(args['squares'])} are one piece of cloth"


def _white(args: Args, names: _Names) -> str:
    if args["square"] is None:
        return "no square is said to be white"
    return f"{names.square(args['square'])} is white"


def _grey(args: Args, names: _Names) -> str:
    if args["square"] is None:
        return "no square is said to be grey"
    return f"{names.square(args['square'])} is a neutral grey"


_GROUNDS: Final = {
    "white": "something white",
    "grey": "something grey",
    "wood": "wood",
    "mat": "a cutting mat",
}


def _ground(args: Args, names: _Names) -> str:
    photo, said = names.photo(args["photo"]), args["ground"]
    if said is None:
        return f"what {photo} was laid on is left to its looks"
    return f"squares of {photo} lie on {_GROUNDS.get(said, said)}"


def _drop_photo(args: Args, names: _Names) -> str:
    return f"{names.photo(args['photo'])} taken out of the bundle"


def _lock(args: Args, names: _Names) -> str:
    sets = args["sets"]
    return f"{names.sets(sets)} {_is(sets, 'stays a set', 'stay sets')}"


def _unlock(args: Args, names: _Names) -> str:
    return f"{names.together(args['squares'])} need not stay a set"


def _forbid(args: Args, names: _Names) -> str:
    return f"{_paired(args, names)} never in one set"


def _allow(args: Args, names: _Names) -> str:
    return f"{_paired(args, names)} may be in one set again"


def _paired(args: Args, names: _Names) -> str:
    return _listed([" and ".join(map(names.square, pair)) for pair in args["pairs"]])


def _take_apart(args: Args, names: _Names) -> str:
    return f"the set {names.together(args['squares'])} taken apart"


def _swap(args: Args, names: _Names) -> str:
    sets = f"now {names.sets(args['sets'])}"
    return f"{names.squares(args['squares'])} changed places between two sets: {sets}"


def _reserve(args: Args, names: _Names) -> str:
    return f"{names.sets(args['sets'])} set aside for {args['project']}"


def _stage(args: Args, names: _Names) -> str:
    meant, project = args["squares"], args["project"]
    done = "sewn" if args["stage"] == "sewn" else "set aside, not sewn,"
    return f"{names.squares(meant)} {_be(meant)} {done} for {project}"


def _returned(args: Args, names: _Names) -> str:
    meant, project = args["squares"], args["project"]
    return f"{names.squares(meant)} {_is(meant, 'goes', 'go')} back from {project} to the bundle"


def _hang(args: Args, _: _Names) -> str:
    if "swap" in args:
        one, other = args["swap"]
        return f"{one} and {other} change places on the wall"
    return f"{args['done']} on the wall is {'sewn' if args['on'] else 'not sewn after all'}"


_WORDS: Final[Mapping[str, Callable[[Args, _Names], str]]] = {
    "not a square": _not_a_square,
    "missed": _missed,
    "corners": _corners,
    "place": _place,
    "one fabric": _one_fabric,
    "own fabric": _own_fabric,
    "name": _name,
    "role": _role,
    "mark": _mark,
    "same piece": _same_piece,
    "white": _white,
    "grey": _grey,
    "ground": _ground,
    "drop photo": _drop_photo,
    "lock": _lock,
    "unlock": _unlock,
    "forbid": _forbid,
    "allow": _allow,
    "take apart": _take_apart,
    "swap": _swap,
    "reserve": _reserve,
    "stage": _stage,
    "returned": _returned,
    "hang": _hang,
}
KINDS: Final = frozenset({*_WORDS, "rules"})
