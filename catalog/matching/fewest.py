"""The fewest of some things that do as much as all of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def fewest(
    things: Sequence[T], do_as_much: Callable[[list[T]], bool], most_asked: int | None = None
) -> list[T]:
    """Return the fewest of some things that do as much as all, by halves, earlier ones rather.

    Parameters
    ----------
    things : sequence
        Which all together do as much.
    do_as_much : callable
        Tells whether some of them do; more never do less.
    most_asked : int, optional
        How often it is asked; once that is used up, more than the fewest may be given.

    Notes
    -----
    U. Junker, "QuickXPlain: preferred explanations and relaxations for over-constrained problems",
    AAAI 2004, from memory.
    """
    asked = 0

    def needed(chosen: list[T], fresh: bool, among: list[T]) -> list[T]:
        nonlocal asked
        if fresh and most_asked is not None and asked >= most_asked:
            return among
        if fresh:
            asked += 1
            if do_as_much(chosen):
                return []
        if len(among) == 1:
            return among
        first, second = among[: len(among) // 2], among[len(among) // 2 :]
        late = needed([*chosen, *first], True, second)
        return [*needed([*chosen, *late], bool(late), first), *late]

    return needed([], False, list(things)) if things else []
