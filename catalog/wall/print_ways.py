"""Squares whose print runs one way: how they are laid to be cut, and how they hang on the wall."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from catalog.cutting.adapted.buying import OF_SQUARES
from catalog.cutting.adapted.directional_prints import laying_words
from catalog.cutting.adapted.upright_pieces import HungPart
from catalog.cutting.plans import CutRow, WallBlock, WallPlan
from catalog.cutting.quilt import BlockUnit, Cell, Patch, PieceKind, Quilt
from catalog.cutting.quilt_units import method_of
from catalog.models import Swatch
from catalog.phrases import joined

AS_IT_HANGS: Final = "sewn in upright"
"""How a print is laid where no piece can lie wrong."""
MAX_NAMED: Final = 6
"""Squares named one by one, so that a row of the cutting list stays short (choice of ours)."""


def runs_one_way(kind: PieceKind, swatch: Swatch) -> bool:
    """Tell whether a square's print runs one way: what the pattern says goes before the photo."""
    if kind.directional or kind.any_way:
        return kind.directional
    return swatch.look is not None and swatch.look.directional


def with_ways_on_wall(quilt: Quilt, wall: WallPlan, bundle: Mapping[str, Swatch]) -> WallPlan:
    """Note at each block which of its squares' prints run one way, where they don't hang upright.

    Parameters
    ----------
    quilt : Quilt
    wall : WallPlan
    bundle : mapping from label to Swatch
    """
    blocks = []
    for block in wall.blocks:
        ways: dict[str, set[bool]] = {}
        one_way = dict.fromkeys(label for label, *_ in _one_way(quilt, block, bundle))
        for label, cell, part, _ in _one_way(quilt, block, bundle):
            if _cut_upright(quilt.blocks[block.kind].units[cell.unit], part):
                continue
            ways.setdefault(label, set()).add((cell.turn + block.turn) % 180 != 0)
        words = [_way_words(label, turned) for label, turned in ways.items() if True in turned]
        note = "; ".join(filter(None, [block.note, *words]))
        on_side = tuple(label for label, turned in ways.items() if len(turned) > 1)
        blocks.append(replace(block, note=note, one_way=tuple(one_way), on_side=on_side))
    return replace(wall, blocks=tuple(blocks))


def with_ways_to_cut(
    cuts: Sequence[CutRow], quilt: Quilt, wall: WallPlan, bundle: Mapping[str, Swatch]
) -> tuple[CutRow, ...]:
    """Note at each kind of piece cut from squares which of them run one way, and how they are laid.

    Parameters
    ----------
    cuts : sequence of CutRow
    quilt : Quilt
    wall : WallPlan
        Where the squares hang.
    bundle : mapping from label to Swatch
    """
    parts: dict[str, dict[str, Counter[HungPart]]] = {}
    for block in wall.blocks:
        for label, cell, part, patch in _one_way(quilt, block, bundle):
            hung = HungPart(block.kind, cell.unit, part, (cell.turn + block.turn) % 360)
            parts.setdefault(patch.kind, {}).setdefault(label, Counter())[hung] += 1
    return tuple(
        replace(cut, note=_laid_words(quilt, parts[cut.piece]))
        if cut.cloth == OF_SQUARES and cut.piece in parts
        else cut
        for cut in cuts
    )


def _one_way(
    quilt: Quilt, block: WallBlock, bundle: Mapping[str, Swatch]
) -> Iterator[tuple[str, Cell, int, Patch]]:
    """Yield where parts of squares lie in a block whose print runs one way."""
    labels = dict(block.squares)
    for cell, part, patch in quilt.blocks[block.kind].parts():
        label = labels.get(patch)
        if label is not None and runs_one_way(quilt.kind(patch.kind), bundle[label]):
            yield label, cell, part, patch


def _cut_upright(unit: BlockUnit, part: int) -> bool:
    """Whether the cutting list says how a part is cut to hang upright, as with triangles."""
    lays = method_of(unit).lays
    return part < len(lays) and lays[part] is not None


def _way_words(label: str, turned: set[bool]) -> str:
    if len(turned) == 1:
        return f"the print of {label} runs one way: turn it so that it stands upright here"
    return f"the print of {label} runs one way: some of its pieces lie on their side here"


def _laid_words(quilt: Quilt, parts: Mapping[str, Counter[HungPart]]) -> str:
    """Say how squares are laid, those together that are laid alike."""
    alike: dict[str, list[str]] = {}
    for label, own in parts.items():
        alike.setdefault(laying_words(quilt, own) or AS_IT_HANGS, []).append(label)
    told = []
    for words, labels in alike.items():
        named = list(labels[:MAX_NAMED])
        if len(labels) > MAX_NAMED:
            named.append(f"{len(labels) - MAX_NAMED} more")
        told.append(f"{joined(named)} {'runs' if len(labels) == 1 else 'run'} one way: {words}")
    return "; ".join(told)
