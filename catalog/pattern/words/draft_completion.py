"""A piece half read, made whole by what stands before it; or what it lacks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, Literal

from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.phrases.cloth_phrases import is_part, names_cloth, tidy_name
from catalog.pattern.words.phrases.trade_words import CLOTH_PARTS

if TYPE_CHECKING:
    from catalog.pattern.words.piece_gathering import PieceGathering

GENERAL_CLOTH: Final = frozenset({"scraps", "scrap", "assorted", "prints", "fabrics", "bundle"})
"""A colour before the shape tells more than these."""
LARGEST: Final = 110
"""Inches; backing is woven up to 108 wide, from memory. Both sides of a piece aren't more."""
NO_CLOTH_NAMED: Final = "no cloth is named there"
Lacking = Literal["", "nothing", "its size", "how many", "how wide it is"]
"""``nothing``: what it says concerns pieces told before."""


def completed(draft: Draft, reader: PieceGathering) -> Lacking:
    """Complete a piece in place.

    Returns
    -------
    str
        What it lacks; empty where it is whole.
    """
    if reader.common:
        _take_common(draft, reader.common)
    draft.shape = draft.shape or reader.state.shape
    like = reader.last() if draft.more else (reader.kept[-1] if reader.kept else None)
    if like and not draft.shaped and len(draft.sides) == 1 and not draft.across and not draft.recut:
        draft.shape = draft.shape or like.shape
    draft.count = draft.count or reader.shared_count
    if not draft.sides:
        return _without_size(draft, reader)
    if not draft.count and not draft.recut:
        return _without_count(draft, reader)
    lengths = any({"lengths", "length"} & set(words) for words in draft.names)
    if lengths and len(draft.sides) == 2 and draft.shape is None:
        draft.shape = "strip"
    if (
        len(draft.sides) == 1
        and (draft.way == "long" or (lengths and draft.way != "wide"))
        and not draft.across
    ):
        return "how wide it is"
    _name_cloth(draft, reader.state)
    if reader.restates and (alike := _told_before(draft, reader)):
        alike.said_triangles = alike.said_triangles or -draft.count
        reader.resolved = True
        return "nothing"
    if draft.recut or _nested(draft, reader.state):
        _from_strips(draft, reader)
    if not draft.count:
        return _without_count(draft, reader)
    if min(draft.sides) > LARGEST and not (draft.shaped or reader.cut_seen):
        return "nothing"
    take_cloth(draft, reader.state)
    return "" if draft.shaped or reader.cut_seen or _is_listed(draft, reader) else "nothing"


def _take_common(draft: Draft, common: Draft) -> None:
    """Take what stood before a colon: "Squares, 2 in: 12 red, 8 blue"."""
    if not draft.sides:
        draft.sides, draft.way, draft.unit_said = common.sides, common.way, common.unit_said
        draft.heard |= common.heard
    draft.shape, draft.shaped = draft.shape or common.shape, draft.shaped or common.shaped
    draft.across = draft.across or common.across


def take_cloth(draft: Draft, state: ReadingState) -> None:
    """Give a piece that names no cloth that of its heading, or else the one named last."""
    if draft.cloth is not None:
        return
    if draft.label in state.labels and not state.cloth:
        draft.cloth = state.labels[draft.label]
        return
    draft.cloth, draft.each = state.cloth_now, draft.each or state.each
    draft.unnamed = not draft.cloth
    if not draft.cloth and state.mentioned:
        draft.cloth = state.mentioned
        draft.doubts.append(f"{NO_CLOTH_NAMED}; taken to be the {state.mentioned} named before")


def _told_before(draft: Draft, reader: PieceGathering) -> Draft | None:
    """Return the piece that a sentence such as "you now have 40 squares" is about."""
    alike = [one for one in reader.state.drafts if set(one.sides) == set(draft.sides)]
    return next((one for one in alike if one.count == draft.count), alike[-1] if alike else None)


def _is_listed(draft: Draft, reader: PieceGathering) -> bool:
    """Tell a piece in a list from a sentence that happens to hold a number and a size."""
    return draft.across or draft.count > 0


def _without_size(draft: Draft, reader: PieceGathering) -> Lacking:
    _name_cloth(draft, reader.state, only_known=not reader.cut_seen)
    alone = reader.kept and draft.shown(reader.state.text)[-1:] in {")", "]", "}"}
    if (
        alone
        and not draft.shaped
        and not any(draft.names)
        and draft.shown(reader.state.text)[0] in "([{"
    ):
        return _check_total(draft, reader)
    if draft.total or (draft.bracket and draft.shaped):
        return _check_total(draft, reader)
    ways = (_size_of_strips, _size_of_key, _size_of_block, _size_before)
    if any(way(draft, reader) for way in ways):
        take_cloth(draft, reader.state)
        return ""
    letter = any(len(words) == 1 and len(words[0]) == 1 for words in draft.names)
    named = draft.cloth is not None and reader.cut_seen
    wanted = (draft.shaped or letter or named) and not draft.bracket and not reader.restates
    return "its size" if wanted and not draft.triangles else "nothing"


def _size_of_strips(draft: Draft, reader: PieceGathering) -> bool:
    """Take "40 squares" for as wide as the strips that they are cut from."""
    strip_before = bool(reader.kept) and reader.kept[-1].is_strip and not reader.kept[-1].used_up
    cut_from = draft.recut or (strip_before and draft.cloth is None)
    strips = (reader.cut_again or strips_for(draft, reader)) if cut_from else []
    if not strips or draft.shape != "square":
        return False
    draft.sides = strips[-1].sides[:1]
    _from_strips(draft, reader)
    return True


def _size_of_key(draft: Draft, reader: PieceGathering) -> bool:
    keyed = _of_key(draft, reader.state)
    if keyed is None:
        return False
    draft.sides, draft.way, draft.across = keyed.sides, keyed.way, keyed.across
    draft.shape, draft.shaped = draft.shape or keyed.shape, True
    draft.diagonal, draft.times = keyed.diagonal, keyed.times
    return True


def _size_of_block(draft: Draft, reader: PieceGathering) -> bool:
    per_block = _of_block(draft, reader)
    if per_block is None:
        return False
    draft.sides, draft.shape, draft.way = per_block.sides, per_block.shape, per_block.way
    return True


def _size_before(draft: Draft, reader: PieceGathering) -> bool:
    """Take the size of the piece before: "3 more", "and 72 from the cream"."""
    last = reader.last()
    listed = bool(reader.kept) and reader.draft_counted_first
    coloured = any(names_cloth(words, reader.state.known()) for words in draft.names if words)
    if coloured and reader.kept and draft.cloth is None:
        _name_cloth(draft, reader.state)
    meant = draft.more or draft.cloth is not None or listed
    if last is None or not meant or not (reader.kept or draft.more):
        return False
    if draft.shape == "strip" and last.strips:
        last = last.strips[-1]
    draft.sides, draft.across = last.sides, last.across or draft.across
    draft.shape, draft.like = draft.shape or last.shape, last.like or last
    draft.recut, draft.shaped, draft.unit_said = False, last.shaped, True
    draft.way = last.way
    if draft.cloth is None and reader.kept:
        draft.cloth, draft.each = last.cloth, last.each
    return True


def _of_key(draft: Draft, state: ReadingState) -> Draft | None:
    """Return the size that a letter stands for: "12 A" where A is a square of 4 1/2 in."""
    letters = [word.upper() for words in draft.names for word in words if len(word) == 1]
    return next((state.sizes[letter] for letter in letters if letter in state.sizes), None)


def _of_block(draft: Draft, reader: PieceGathering) -> Draft | None:
    """Return the piece of one block that a number for the quilt means: "so cut 25 moss squares"."""
    alike = [
        one for one in reader.state.drafts
        if one.per_block and draft.shape and one.shape == draft.shape
        and (draft.cloth is None or draft.cloth == one.cloth)
    ]  # fmt: skip
    return alike[0] if len(alike) == 1 and reader.cut_seen else None


def _check_total(draft: Draft, reader: PieceGathering) -> Lacking:
    """Hold a number of pieces that the text gives in all against what it has cut."""
    pieces = [one for one in reader.kept if draft.shape in {None, one.shape, _shape_of(one)}]
    if pieces and not draft.triangles:
        pieces[-1].said_triangles = -draft.count
    reader.resolved = True
    return "nothing"


def _shape_of(draft: Draft) -> str:
    if draft.is_strip:
        return "strip"
    return "square" if len(set(draft.sides)) == 1 else "rectangle"


def _without_count(draft: Draft, reader: PieceGathering) -> Lacking:
    """Take a size without a number for a reference to pieces told before."""
    alike = [one for one in reader.state.drafts if set(one.sides) == set(draft.sides)]
    if draft.diagonal and alike:
        cloth = [one for one in alike if one.line == draft.line] or alike
        for one in cloth:
            one.diagonal, one.times = True, max(one.times, draft.times)
        reader.resolved = True
        return "nothing"
    if draft.label and not reader.cut_seen:
        reader.state.sizes[draft.label] = draft
        reader.resolved = True
        return "nothing"
    if alike and (draft.shape == "strip" or not reader.cut_seen):
        reader.resolved = True
        return "nothing"
    return "how many" if draft.shaped or draft.across or reader.cut_seen else "nothing"


def _name_cloth(draft: Draft, state: ReadingState, *, only_known: bool = False) -> None:
    """Find the cloth's name among the words of a piece that names none with "from"."""
    if draft.cloth is not None:
        return
    for words in draft.names:
        name = tidy_name(words)
        if not name or is_part(name) or (only_known and name not in state.known()):
            continue
        odd = (
            _is_general(state)
            or not state.cloth
            or not names_cloth(state.cloth_now.split(), state.known())
        )
        if (
            name in state.known()
            or (odd and names_cloth(words, state.known()))
            or (not state.cloth_now and (names_cloth(words, state.known()) or len(words) <= 3))
        ):
            draft.cloth = name
            return
    purpose = [word for word in draft.purpose if word in CLOTH_PARTS]
    if not state.cloth_now and purpose and not only_known and not state.mentioned:
        draft.cloth = tidy_name(draft.purpose)


def _nested(draft: Draft, state: ReadingState) -> bool:
    """Tell whether a piece stands indented under the strips that it is cut from."""
    last = state.drafts[-1] if state.drafts else None
    if last is None or draft.across or draft.line == last.line or draft.cloth is not None:
        return False
    above = last if last.is_strip and last.across else (last.strips[-1] if last.strips else last)
    nested = draft.indent > above.indent and above.is_strip
    nested = nested and (above.across or (above.shape == "strip" and len(above.sides) == 1))
    return nested and fits(draft, above)


def _is_general(state: ReadingState) -> bool:
    """Tell whether the heading only says that it is cloth, such as "scraps"."""
    return bool(state.each) or bool(set(state.cloth_now.split()) & GENERAL_CLOTH)


def of_each_cloth(draft: Draft) -> list[Draft]:
    """Part "12 each of red and blue" into the pieces of each."""
    names = (draft.cloth or "").split(" and ")
    if draft.each >= 0 or len(names) < 2:
        return [draft]
    return [replace(draft, cloth=name, each=0) for name in names]


def give_size(waiting: list[Draft], draft: Draft, state: ReadingState) -> list[Draft]:
    """Complete "9 squares in navy" by "and 16 in white, each 4 in"."""
    for one in waiting:
        one.sides, one.way, one.unit_said = draft.sides, draft.way, draft.unit_said
        one.across, one.shape = draft.across, one.shape or draft.shape
        draft.shape = draft.shape or one.shape
        one.end = max(one.end, draft.end)
        take_cloth(one, state)
    return waiting


def fits(draft: Draft, strips: Draft) -> bool:
    """Tell whether a piece can lie in a strip."""
    return bool(strips.sides) and min(draft.sides) <= strips.sides[0]


def strips_for(draft: Draft, reader: PieceGathering) -> list[Draft]:
    """Return the strips that a piece may be cut from: those told last, one after another."""
    drafts = reader.state.drafts
    found: list[Draft] = []
    for one in reversed(drafts):
        if one.set_aside:
            continue
        if one.is_strip and one is not draft and (not one.used_up or not found):
            if found and (one.line != found[0].line or one.cloth != found[0].cloth):
                break
            found.insert(0, one)
        elif found:
            break
        elif one.strips:
            return list(one.strips)
    return found


def _from_strips(draft: Draft, reader: PieceGathering) -> None:
    """Tie a piece to its strips."""
    strips = reader.cut_again or strips_for(draft, reader)
    strips = [one for one in strips if one.cloth == draft.cloth] or strips
    if draft.across or not strips:
        draft.recut = False
        return
    side = max(draft.sides) if len(draft.sides) == 1 else None
    exact = [one for one in strips if one.sides[0] in draft.sides]
    fitting = exact or [one for one in strips if fits(draft, one)] or strips
    draft.strips = fitting
    if draft.shape is None and side is not None and side != fitting[-1].sides[0]:
        draft.sides = (side, fitting[-1].sides[0])
    elif draft.shape == "rectangle" and side is not None:
        draft.sides = (fitting[-1].sides[0], side)
    for one in fitting:
        one.used_up = True
    if draft.cloth is None:
        draft.cloth, draft.each = fitting[-1].cloth, fitting[-1].each
        draft.doubts += [words for words in fitting[-1].doubts if NO_CLOTH_NAMED in words]
    if draft.per_strip and draft.count:
        draft.count *= sum(one.count for one in fitting)
        draft.per_strip = False
