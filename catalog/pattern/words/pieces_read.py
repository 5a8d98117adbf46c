"""Drafts to pieces of the whole quilt, once all of the text is read."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from catalog.lengths import centimetres_shown
from catalog.pattern.words.cloth_amounts import NO_CLOTH
from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.doubts.cloth_doubts import cloth_doubts
from catalog.pattern.words.doubts.piece_doubts import piece_doubts
from catalog.pattern.words.draft_values import (
    cloth_said,
    diagonals_of,
    fabrics_named,
    sides_of,
    times_of,
)
from catalog.pattern.words.instruction_values import (
    ReadBuy,
    ReadInstructions,
    ReadPiece,
    StripsCut,
)
from catalog.pattern.words.phrases.word_tokens import INCH


def finished(state: ReadingState) -> ReadInstructions:
    """Return all that was read."""
    drafts = [one for one in _of_the_quilt(state) if not _is_batting(state, one)]
    pieces = [piece_of(state, draft) for draft in drafts if not draft.used_up]
    _buy_quarters(state)
    read = ReadInstructions(
        tuple(pieces), tuple(state.buys), tuple(dict.fromkeys(state.unread)), (),
        tuple(state.noted), state.usable, state.unit != INCH,
    )  # fmt: skip
    cut = [one for one in drafts if not one.used_up]
    with centimetres_shown(read.metric):
        doubts = [
            *state.doubts,
            *piece_doubts(state, cut, pieces),
            *cloth_doubts(state, drafts, read),
        ]
    return replace(read, doubts=tuple(dict.fromkeys(doubts)))


def _buy_quarters(state: ReadingState) -> None:
    """Count fat quarters as bought where they are only named: "from each of 10 fat quarters"."""
    names = {"fat quarters": 4, "fat quarter": 4, "fat eighths": 8, "fat eighth": 8}
    for one in state.drafts:
        parts = next((names[name] for name in names if (one.cloth or "").endswith(name)), 0)
        if parts and one.each > 0 and not any(buy.fat for buy in state.buys):
            yards = Fraction(one.each, parts)
            state.buys.append(ReadBuy(one.cloth or "", yards, one.shown(state.text), fat=True))


def _is_batting(state: ReadingState, draft: Draft) -> bool:
    """Leave out batting, which isn't cloth, and note it."""
    if not set((draft.cloth or "").split()) & NO_CLOTH:
        return False
    state.noted.append((draft.shown(state.text), "batting"))
    return True


def _of_the_quilt(state: ReadingState) -> list[Draft]:
    """Leave out what is told for one block where the whole quilt is listed too."""
    whole = [one for one in state.drafts if not one.per_block]
    listed = {(one.cloth, frozenset(one.sides)) for one in whole}
    each = [one for one in state.drafts if one.per_block]
    if state.whole_quilt or (
        each and all((one.cloth, frozenset(one.sides)) in listed for one in each)
    ):
        return whole
    return state.drafts


def piece_of(state: ReadingState, draft: Draft) -> ReadPiece:
    """Return a draft as a piece of the whole quilt."""
    width, length, shape = sides_of(state, draft)
    cloth = cloth_said(state, draft)
    if draft.each:
        cloth = fabrics_named(state, cloth)[0]
    strips = tuple(
        StripsCut(one.count * times_of(state, one), one.sides[0], sides_of(state, one)[1])
        for one in draft.strips
    )
    return ReadPiece(
        cloth, shape, draft.count * times_of(state, draft), width, length,
        diagonals_of(draft, times_of(state, draft)), draft.shown(state.text), strips,
        draft.across, draft.along and length is None, draft.label,
    )  # fmt: skip
