"""Needs for which squares are cut up alike, served piece by piece, round after round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from catalog.bundle.eligibility import serves
from catalog.bundle.pieces import cut_up, pieces_from
from catalog.colour.ciede2000 import as_shown
from catalog.matching import match_requests
from catalog.models import Matching, MatchRules, Need, SetRequest, SquareSet, Swatch

MAX_PIECES: Final = 200
"""Pieces that are matched one by one; where there are more, so many of a square as brings them
under it are matched together (measured: 170 pieces take up to 2 s, 670 up to 22 s)."""


@dataclass(frozen=True, eq=False)
class SetsOfSize:
    """Sets chosen for needs of one size."""

    sets: list[SquareSet]
    matching: Matching
    """Of the first round."""
    bound: float


class PieceRounds:
    """What needs still lack, and the sets that they have so far."""

    def __init__(
        self, swatches: Sequence[Swatch], needs: Sequence[Need], rules: MatchRules
    ) -> None:
        self.swatches, self.needs, self.rules = swatches, needs, rules
        self.bundle = {one.label: one for one in swatches}
        self.missing = {need.name: need.count // need.match or None for need in needs}
        """Sets that each need still lacks; None for as many as there can be."""
        self.only_counting = True
        """Whether sets too far apart to count must wait, so that they are in nobody's way."""
        self.parts: list[SetsOfSize] = []

    def counts(self, one: SquareSet) -> bool:
        """Tell whether a set counts as a match."""
        within = self.rules.within
        return within is None or bool(as_shown(one.difference) <= within)

    def stays(self, one: SquareSet) -> bool:
        """Tell whether a set may have its squares while there are others to be made."""
        return self.counts(one) or "locked" in one.flags

    def serve(self, needs: Sequence[Need], squares: Sequence[Swatch], rules: MatchRules) -> None:
        """Serve needs for which squares are cut alike from the pieces of some squares."""
        left = {
            one.label: max(
                (pieces_from(one, need) for need in needs if serves(one, need)), default=0
            )
            for one in squares
        }
        together = max(1, -(-sum(left.values()) // MAX_PIECES))
        while True:
            self._round(needs, squares, rules, left, together)
            lacking = any(self.missing[need.name] != 0 for need in needs)
            if together == 1 or not lacking:
                return
            rules = replace(rules, locked=self.parts[-1].matching.left_aside)
            fewer = -(-sum(left.values()) // MAX_PIECES) if self.parts[-1].sets else together // 2
            together = max(1, min(together - 1, fewer))

    def _round(
        self,
        needs: Sequence[Need],
        squares: Sequence[Swatch],
        rules: MatchRules,
        left: dict[str, int],
        together: int,
    ) -> None:
        """Match the pieces that are left, so many of a square at once."""
        numbers = {label: max(1, number // together) for label, number in left.items()}
        cut = cut_up(squares, numbers, rules)
        able = {label for label, number in left.items() if number >= together}
        requests = []
        for need in needs:
            lack = self.missing[need.name]
            own = [
                piece.label
                for piece in cut.swatches
                if cut.square[piece.label] in able
                and serves(self.bundle[cut.square[piece.label]], need)
            ]
            wanted = None if lack is None else -(-lack // together)
            requests.append(
                SetRequest(need.name, wanted, need.match, frozenset(own), need.match_by)
            )
        matching = match_requests(cut.swatches, requests, cut.rules)
        sets: list[SquareSet] = []
        waits = self.only_counting or together > 1
        for one in matching.sets if not waits else filter(self.stays, matching.sets):
            labels = tuple(cut.square[piece] for piece in one.swatches)
            lack = self.missing[one.need]
            locked = "locked" in one.flags
            times = 1 if locked else min(together, lack or together)
            sets += [replace(one, swatches=labels)] * times
            if lack is not None and (self.counts(one) or not locked):
                self.missing[one.need] = lack - times
            for label in labels:
                left[label] -= times
        exact = together == 1
        self.parts.append(SetsOfSize(sets, matching, matching.bound if exact else 0.0))
