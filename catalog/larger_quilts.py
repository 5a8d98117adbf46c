"""How much further a counted bundle reaches: every step is counted before it is promised."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass, replace
from fractions import Fraction
from math import inf
from typing import Final

from catalog.colour.ciede2000 import as_shown
from catalog.colour.shared_differences import differences_shared
from catalog.count_request import CountRequest
from catalog.count_results import Count
from catalog.cutting.quilt_sizes.filled_layout import Filled, judge, nearest_usual
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.quilt_sizes.set_supply import Shortage
from catalog.cutting.quilt_sizes.standard_sizes import USUAL_SIZES
from catalog.errors import PatternError
from catalog.matching.sets_for_needs import choose_sets
from catalog.models import MatchRules, Need, Tally
from catalog.pipeline import count
from catalog.system.progress import Progress, unreported

MAX_TRIED: Final = 8
"""Larger quilts that are counted at most; each takes as long as the count itself."""
MAX_TOLD: Final = 2
MAX_INCHES_OFF: Final = 24
"""Inches off a usual size, width and length together, from which a quilt isn't offered."""
SLACK: Final = 1.0
"""Inches by which rounded numbers may be wrong. A thousand squares bring 6,900 layouts in question;
to hold 23 usual sizes against each of them in fractions took three seconds."""
_USUAL_INCHES: Final = [(float(size.width), float(size.length)) for size in USUAL_SIZES]


@dataclass(frozen=True)
class Promised:
    """What a bundle fills."""

    chosen: Filled
    """The layout asked for."""
    fills: tuple[Filled, ...]
    """Larger ones; none where that isn't filled."""
    steps: tuple[Filled, ...]
    """One more row, one more column; none that is among `fills`."""


class CountedStock:
    """A bundle as what there is for a quilt of one pattern, whatever its rows and columns.

    What a layout lacks is what `catalog.pipeline.count` says of the pattern written for it.

    Parameters
    ----------
    result : Count
        Of the request.
    request : CountRequest
        For a pattern that says how its quilt is built.
    tell : callable
        Told what is being done each time something is counted; may raise to end it.
    """

    def __init__(self, result: Count, request: CountRequest, tell: Progress = unreported) -> None:
        self.result, self.request, self._tell = result, request, tell
        self._tallies: dict[tuple[Need, ...], Tally] = {request.needs: result.tally}
        kinds = [
            kind
            for kind in (request.quilt.kinds if request.quilt else ())
            if kind.role == "feature" and kind.source == "bundle"
        ]
        self._features = {name for kind in kinds for name in kind.needs}
        self._of_blocks = {name for kind in kinds if kind.sets_per_block for name in kind.needs}

    def written_for(self, layout: Layout) -> tuple[Need, ...] | None:
        """Return what the pattern asks for with other rows and columns; None if it can't be so."""
        pattern = self.request.pattern
        if pattern and (layout.rows, layout.columns) == (pattern.rows, pattern.columns):
            return self.request.needs
        try:
            return self.request.of_size(layout.rows, layout.columns).needs
        except PatternError:
            return None

    def shortage(self, layout: Layout) -> Shortage:
        """Return what a layout lacks or leaves."""
        needs = self.written_for(layout)
        if needs is None:
            return Shortage(pieces=((self.request.title, 1),))
        tally = self._tally(needs)
        if tally.enough:
            pairs_only = all(need.match == 2 for need in needs if need.name in self._of_blocks)
            over = None if pairs_only else len(tally.unused)
            return Shortage(left_over=self.sets_left(tally, needs), squares_over=over)
        sets: Counter[str] = Counter()
        pieces: Counter[str] = Counter()
        for line in tally.lines:
            if line.short and line.need.name in self._features and line.need.match > 1:
                sets[_colours(line.need)] += line.short // line.need.match
            elif line.short:
                pieces[line.need.name] += line.short
        return Shortage(tuple(sorted(sets.items())), tuple(pieces.items()))

    def _tally(self, needs: tuple[Need, ...]) -> Tally:
        if needs not in self._tallies:
            self._tallies[needs] = count(
                self.result.bundle,
                self.request.title,
                needs,
                self.request.rules,
                self._tell,
                doubts=False,
            ).tally
        return self._tallies[needs]

    def sets_left(self, tally: Tally, needs: Sequence[Need]) -> int:
        """Return how many sets for further blocks the squares make that serve nothing."""
        rules = self.request.rules
        within = inf if rules.within is None else rules.within
        stay = {label for lock in rules.locked for label in lock}
        unused = set(tally.unused) - stay
        left = [one for one in self.result.bundle.swatches if one.label in unused]
        found = 0
        for need in needs:
            if need.name not in self._of_blocks or need.match > 2 or not left:
                continue
            rest = self._rules_among({one.label for one in left})
            sets = choose_sets(self.result.bundle.swatches, [replace(need, count=0)], rest).sets
            sets = tuple(one for one in sets if as_shown(one.difference) <= within)
            found += len(sets)
            taken = {label for one in sets for label in one.swatches}
            left = [one for one in left if one.label not in taken]
        return found

    def _rules_among(self, labels: Set[str]) -> MatchRules:
        """Return the rules as they hold where no square but these may be used."""
        rest = self.request.rules.among(labels)
        away = {one.label for one in self.result.bundle.swatches} - labels
        return replace(rest, held_back=rest.held_back | away)


def promised(stock: CountedStock, layout: Layout) -> Promised:
    """Return a layout against the bundle, and how much further it reaches."""
    with differences_shared():
        chosen = judge(stock, layout)
        fills = larger_quilts(stock, chosen)
        told = {one.layout for one in fills}
        steps = tuple(one for one in further_steps(stock, layout) if one.layout not in told)
    return Promised(chosen, fills, steps)


def larger_quilts(stock: CountedStock, filled: Filled) -> tuple[Filled, ...]:
    """Return larger quilts that the bundle fills too, nearest to a usual size first.

    Parameters
    ----------
    stock : CountedStock
    filled : Filled
        One that it fills.

    Returns
    -------
    tuple of Filled
        A few, each counted and found enough; there may be others.
    """
    quilt = stock.request.quilt
    if quilt is None or not filled.enough:
        return ()
    most = filled.layout.blocks + quilt.blocks_for(filled.left_over)
    found: list[Filled] = []
    tried = 0
    for layout in sorted(_larger(filled.layout, most), key=_farness):
        within = any(
            layout.rows <= one.layout.rows and layout.columns <= one.layout.columns for one in found
        )
        if layout.blocks > most or within or stock.written_for(layout) is None:
            continue
        one, tried = judge(stock, layout), tried + 1
        if one.enough:
            found.append(one)
        else:
            most = min(most, layout.blocks - 1)
        if len(found) == MAX_TOLD or tried == MAX_TRIED:
            break
    return tuple(found)


def further_steps(stock: CountedStock, layout: Layout) -> tuple[Filled, ...]:
    """Return what one more row and one more column would be, and what they lack."""
    return tuple(judge(stock, one) for one in next_layouts(stock, layout))


def next_layouts(stock: CountedStock, layout: Layout) -> tuple[Layout, ...]:
    """Return a layout with one more row, and with one more column, where it can be so."""
    steps = (
        replace(layout, rows=layout.rows + 1),
        replace(layout, columns=layout.columns + 1),
    )
    return tuple(one for one in steps if stock.written_for(one) is not None)


def _larger(layout: Layout, most: int) -> Iterator[Layout]:
    """Yield all layouts of more blocks, up to a number, that are near a usual size."""
    fewest = layout.blocks
    lengths = _sides(most, 1, max(size.length for size in USUAL_SIZES),
                     lambda rows: replace(layout, rows=rows).length)  # fmt: skip
    widths = _sides(most, layout.least_columns, max(size.width for size in USUAL_SIZES),
                    lambda columns: replace(layout, columns=columns).width)  # fmt: skip
    for rows, length in lengths:
        for columns, width in widths:
            if rows * columns > most or not _may_be_near(width, length):
                continue
            one = replace(layout, rows=rows, columns=columns)
            if fewest < one.blocks <= most and _farness(one)[0] <= MAX_INCHES_OFF:
                yield one


def _sides(
    most: int, least: int, longest: Fraction, side: Callable[[int], Fraction]
) -> list[tuple[int, float]]:
    """Return how many blocks along a side are too few to be beyond all usual sizes, and its length.

    A side hangs on its own blocks alone.
    """
    found = []
    for blocks in range(least, most + 1):
        inches = float(side(blocks))
        if inches > longest + MAX_INCHES_OFF + SLACK:
            break
        found.append((blocks, inches))
    return found


def _may_be_near(width: float, length: float) -> bool:
    """Tell by rounded numbers whether a size may be near a usual one, which fractions then tell."""
    return any(
        abs(width - wide) + abs(length - long) <= MAX_INCHES_OFF + SLACK
        for wide, long in _USUAL_INCHES
    )


def _farness(layout: Layout) -> tuple[float, int, int]:
    _, off = nearest_usual(layout)
    return float(abs(off[0]) + abs(off[1])), -layout.blocks, layout.columns


def _colours(need: Need) -> str:
    """Return family and value of what is wanting."""
    if need.family and need.value and need.value not in need.family.split():
        return f"{need.value} {need.family}"
    return need.family or (f"{need.value} tones" if need.value else "")
