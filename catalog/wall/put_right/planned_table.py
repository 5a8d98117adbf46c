"""The rows of a plan's table to the plan, for the quilt that it was made for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from catalog.cutting.plans import WallBlock, WallPlan
from catalog.cutting.quilt import QUARTER_TURN, Patch, Quilt
from catalog.cutting.quilt_sizes.block_places import Place, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.errors import WallError
from catalog.phrases import printable
from catalog.wall.block_contents import empty_place
from catalog.wall.block_sides import pair_words
from catalog.wall.piece_places import pieces_of_block
from catalog.wall.put_right.wall_table import AGAIN, Row, WallTable, labels_in

MAX_LINES: Final = 300
"""Rows or columns of blocks: more than any wall has room for."""


def wall_of_table(
    table: WallTable, quilt: Quilt, layout: Layout, labels: Collection[str]
) -> tuple[Layout, WallPlan]:
    """Return what a table plans, for the quilt that it was made for.

    Parameters
    ----------
    table : WallTable
    quilt : Quilt
        How the blocks are built.
    layout : Layout
        With the finished sizes as sewn; rows and columns are the table's.
    labels : collection of str
        Of the bundle's squares.

    Raises
    ------
    WallError
        The table is of another quilt or bundle, or can't be meant so.
    """
    at = {row["place"]: row for row in table.rows}
    if len(at) < len(table.rows):
        twice = next(p for p in at if sum(row["place"] == p for row in table.rows) > 1)
        raise WallError(f"'{table.name}' has {_shown(twice)} twice", AGAIN)
    laid = _layout(table, layout, at.keys())
    reader = _TableReader(table, quilt, frozenset(labels))
    blocks = [reader.block(number, spot, at[spot.label])
              for number, spot in enumerate(places(laid), 1)]  # fmt: skip
    _refuse_other_blocks(table, blocks, at)
    return laid, WallPlan("scattered", tuple(blocks), 0.0, None)


def _refuse_other_blocks(
    table: WallTable, blocks: Sequence[WallBlock], at: Mapping[str, Row]
) -> None:
    """Refuse a pattern whose blocks have the darker square elsewhere than all that are told."""
    told = [(block.darker_goes, goes) for block in blocks
            if block.darker and (goes := at[block.place].get("darker_goes", ""))]  # fmt: skip
    if told and not any(ours == theirs for ours, theirs in told):
        raise _other_pattern(table, "blocks")


def _other_pattern(table: WallTable, what: str) -> WallError:
    return WallError(
        f"the {what} of '{table.name}' are not those of this pattern",
        "name the pattern that it was made for with --pattern",
    )


def _shown(words: str) -> str:
    return printable(words)[:30] or "a row without a place"


def _layout(table: WallTable, layout: Layout, named: Collection[str]) -> Layout:
    """Return the layout whose places a table names."""
    wanted = set(named)
    lines, across = (_largest(table, column) for column in ("row", "column"))
    tries = [layout, replace(layout, rows=lines, columns=max(across, layout.least_columns))]
    if layout.on_point:  # rows as they are sewn slant, so they don't tell how many there are
        tries += [replace(layout, rows=r, columns=c) for r, c in _slanting(len(wanted))]
    found = next((one for one in tries if {spot.label for spot in places(one)} == wanted), None)
    if found is None:
        raise _other_pattern(table, "places")
    return found


def _slanting(blocks: int) -> Sequence[tuple[int, int]]:
    """Return rows and columns on point that so many blocks make: 2rc - r - c + 1."""
    return [
        (r, (blocks - 1 + r) // (2 * r - 1))
        for r in range(1, MAX_LINES)
        if (blocks - 1 + r) % (2 * r - 1) == 0 and (blocks - 1 + r) // (2 * r - 1) >= 1
    ]


def _largest(table: WallTable, column: str) -> int:
    cells = [row[column] for row in table.rows]
    bad = next((one for one in cells if not one.isdecimal() or not 1 <= int(one[:6]) <= MAX_LINES),
               None)  # fmt: skip
    if bad is not None:
        raise WallError(
            f"'{table.name}' has '{printable(bad)[:30]}' for a {column}, which is none", AGAIN
        )
    return max(map(int, cells))


@dataclass(frozen=True)
class _TableReader:
    """Rows to blocks."""

    table: WallTable
    quilt: Quilt
    labels: frozenset[str]

    def block(self, number: int, spot: Place, row: Row) -> WallBlock:
        """Return what hangs at a place."""
        quilt, turn = self.quilt, self._turn(spot, row)
        kind = quilt.block_at(spot)
        block = quilt.blocks[kind]
        squares = self._squares(kind, turn, row)
        goes = pair_words(block, squares, row["darker"], row["lighter"], turn)
        return replace(
            empty_place(quilt, spot, number, turn),
            sets=self._sets(row),
            squares=squares,
            darker=row["darker"],
            darker_goes=goes[0],
            lighter=row["lighter"],
            lighter_goes=goes[1],
            pieces=pieces_of_block(block, squares, (), turn),
            note=row.get("note", ""),
            press_inside=row.get("press_inside", ""),
            press_to_next=row.get("press_to_next", ""),
            press_row=row.get("press_row", ""),
            press_before=row.get("press_before", ""),
            press_strips=row.get("press_strips", ""),
            press_edge=row.get("press_edge", ""),
        )

    def _turn(self, spot: Place, row: Row) -> int:
        told = row["turned"]
        if told not in {str(turn) for turn in range(0, 360, QUARTER_TURN)}:
            raise self._wrong(spot.label, f"turned by '{printable(told)[:20]}'")
        return int(told)

    def _sets(self, row: Row) -> tuple[int, ...]:
        parts = [part.strip() for part in row["set"].split(";") if part.strip()]
        if any(not part.isdecimal() or len(part) > 6 for part in parts):
            raise self._wrong(row["place"], f"of set '{printable(row['set'])[:20]}'")
        return tuple(map(int, parts))

    def _squares(self, kind: int, turn: int, row: Row) -> tuple[tuple[Patch, str], ...]:
        """Return the squares of a row, each with the patch that is cut from it."""
        named = labels_in(row)
        others = named[sum(bool(row[column]) for column in ("darker", "lighter")) :]
        if not named:
            return ()
        strange = next((label for label in named if label not in self.labels), None)
        if strange is not None:
            raise WallError(
                f"'{self.table.name}' has {_shown(strange)} at {row['place']}, and the bundle has "
                "no square of that name",
                "give the plan that was made of this bundle",
            )
        patches = list(self._patches(kind))
        pair = self._pair(kind)
        given: dict[Patch, str] = {}
        if pair and row["darker"] and row["lighter"]:
            given = {pair[0]: row["darker"], pair[1]: row["lighter"]}
        rest = [patch for patch in patches if patch not in given]
        if len(rest) == len(others) and len(given) in {0, 2} and (given or not row["darker"]):
            given.update(zip(rest, others, strict=True))
        else:  # a square that gives several pieces is named but once
            given.update({patch: self._told(kind, patch, turn, row) for patch in rest})
        return tuple((patch, given[patch]) for patch in patches)

    def _patches(self, kind: int) -> Sequence[Patch]:
        """Return a block's patches from the bundle, in the order in which plans hold them."""
        own = [k for k in self.quilt.kinds if k.source == "bundle" and k.in_block(kind)]
        own.sort(key=lambda k: k.role == "background")
        return [Patch(k.name, which) for k in own for which in range(1, k.in_block(kind) + 1)]

    def _pair(self, kind: int) -> tuple[Patch, Patch] | None:
        """Return the patches of the darkest and the lightest square of a block's first set."""
        for k in self.quilt.kinds:
            whole = k.source == "bundle" and k.role == "feature" and k.in_block(kind) >= k.match
            if whole and k.match > 1:
                return Patch(k.name, 1), Patch(k.name, k.match)
        return None

    def _told(self, kind: int, patch: Patch, turn: int, row: Row) -> str:
        """Return the label of a patch by the words about where each square's pieces go."""
        block = self.quilt.blocks[kind]
        where = pieces_of_block(block, [(patch, "")], (), turn)[0][1]
        told = dict(part.strip().partition(": ")[::2] for part in row.get("pieces", "").split(";"))
        fit = [label for label, words in told.items() if where in words and label in self.labels]
        if len(fit) != 1:
            raise self._wrong(row["place"], "without saying where each of its squares goes")
        return fit[0]

    def _wrong(self, place: str, what: str) -> WallError:
        return WallError(f"'{self.table.name}' has {place} {what}, which can't be meant", AGAIN)
