"""What counts, sizes and shapes say of the piece in hand."""

from __future__ import annotations

from catalog.pattern.words.cut_drafts import Draft
from catalog.pattern.words.phrases.cloth_phrases import is_part, names_cloth, tidy_name
from catalog.pattern.words.phrases.phrase_values import Phrase, word_at
from catalog.pattern.words.piece_gathering import PieceGathering

MAX_WORDS_AHEAD = 3
"""In a cloth's name before a count; more are a sentence."""


class MeasureHandlers(PieceGathering):
    """Takes counts, sizes, shapes and the way across the cloth into the piece in hand."""

    def _count(self, phrase: Phrase) -> None:
        if phrase.words == "a" and not (self.cut_seen and not (self.draft and self.draft.count)):
            return
        if self.per_block and word_at(self.tokens, phrase.first - 1) in {"make", "makes"}:
            self.state.blocks = phrase.number
            self.heard.add(phrase.first)
            return
        last = self.last()
        if self.after_total and last and self.draft is None:
            last.said_triangles = last.said_triangles or -phrase.number
            self.resolved = True
        draft, ahead = self.draft, self._name_ahead()
        full = draft is not None and (draft.count or (self.bracket and draft.sides and draft.count))
        draft = self.grow(phrase, fresh=bool(full))
        self._take_name(draft, ahead)
        self.draft_counted_first = self.draft_counted_last
        self.draft_counted_last = bool(draft.sides)
        draft.count, draft.sure = phrase.number, phrase.sure or phrase.words == "a"
        draft.total = draft.total or self.after_total
        if self.then and not draft.recut:
            last = self.last()
            draft.recut = bool(last and last.is_strip and not last.used_up)
        self.then = False

    def _name_ahead(self) -> list[str]:
        """Return the words before a count that name its cloth."""
        ahead, self.ahead = self.ahead, []
        draft = self.draft
        if draft and draft.count and self.names_first and draft.names[-1]:
            return draft.names.pop()
        return ahead if draft is None else []

    def _take_name(self, draft: Draft, ahead: list[str]) -> None:
        """Give a piece the name that stands before its count."""
        name = tidy_name(ahead)
        if not name or is_part(name) or len(name.split()) > MAX_WORDS_AHEAD:
            return
        listed = self.common or self.names_first or not self.state.cloth_now
        if listed or names_cloth(name.split(), self.state.known()):
            draft.cloth, draft.each, self.names_first = name, 0, True

    def _size(self, phrase: Phrase) -> None:
        draft = self.draft
        if draft and draft.sides:
            if draft.sides == phrase.sides and draft.count and self.draft_counted_last:
                self.grow(phrase)
                return
            if self._other_side(draft, phrase):
                return
            carried = draft.shape if draft.count else None
            draft = self.grow(phrase, fresh=True)
            draft.shape = carried
        draft = self.grow(phrase)
        draft.sides, draft.way, draft.unit_said = phrase.sides, phrase.words, phrase.sure

    def _other_side(self, draft: Draft, phrase: Phrase) -> bool:
        """Take a length for the second side of a piece whose width was told, or the reverse."""
        ways = {draft.way or "wide", phrase.words}
        if len(draft.sides) > 1 or len(phrase.sides) > 1 or ways != {"wide", "long"}:
            return False
        wide_first = draft.way != "long"
        draft.sides = (*draft.sides, *phrase.sides) if wide_first else (*phrase.sides, *draft.sides)
        draft.way = "both"
        self.grow(phrase)
        return True

    def _shape(self, phrase: Phrase) -> None:
        draft = self.draft
        whole = draft is not None and draft.shape and draft.count and draft.sides
        named = word_at(self.tokens, phrase.first - 1) in {"the", "each", "these", "all"}
        if draft and whole and named and draft.shape != phrase.shape:
            return
        draft = self.grow(phrase)
        draft.shape, draft.shaped = draft.shape or phrase.shape, True

    def _triangles(self, phrase: Phrase) -> None:
        draft = self.draft
        if draft and draft.count and not draft.sides:
            last = self.kept[-1] if self.kept else None
            if last is None and (self._comes_later(phrase) or not self.state.drafts):
                self.pending_triangles = draft.count
            elif (last or self.state.drafts[-1]).line >= self.state.line - 1:
                squares = last or self.state.drafts[-1]
                told = draft.count * self._from_each(phrase, squares)
                squares.said_triangles = squares.said_triangles or told
            self.heard |= draft.heard
            self.draft, self.resolved = None, True
        elif draft and draft.count:
            draft.triangles = True
            draft.end = self.tokens[phrase.last - 1].end

    def _from_each(self, phrase: Phrase, squares: Draft) -> int:
        """Return the number of squares where the triangles of each are told."""
        behind = {word_at(self.tokens, place) for place in (phrase.last, phrase.last + 1)}
        pair = self.draft is not None and self.draft.count == 2 and squares.count > 2
        first = phrase.first - (12 if pair else 4)
        before = {word_at(self.tokens, place) for place in range(max(first, 0), phrase.first)}
        before = {"each"} if before & {"each", "every"} else before
        each = "each" in before or "each" in behind or "per" in behind
        return squares.count if each else 1

    def _comes_later(self, phrase: Phrase) -> bool:
        """Tell whether the squares that give these triangles stand behind them."""
        return any(one.kind == "size" and one.first > phrase.first for one in self.phrases)

    def _across(self, phrase: Phrase) -> None:
        if self.draft is None and self.kept and self.kept[-1].is_strip:
            self.kept[-1].across = True
            return
        if self.draft:
            draft = self.grow(phrase)
            draft.across = True
            if phrase.sides and len(draft.sides) == 1:
                draft.sides = (*draft.sides, *phrase.sides)

    def _along_cloth(self, phrase: Phrase) -> None:
        if self.draft is None:
            self.along = True
        else:
            self.grow(phrase).along = True

    def _total(self, phrase: Phrase) -> None:
        self.after_total = True
        if self.draft and not self.draft.sides:
            self.grow(phrase).total = True

    def _more(self, phrase: Phrase) -> None:
        following = next((one for one in self.phrases if one.first >= phrase.last), None)
        if following and following.kind == "count" and phrase.last > phrase.first + 1:
            self.flush()
        elif self.draft:
            self.grow(phrase).more = True

    def _same(self, phrase: Phrase) -> None:
        """Read "the same of the red", "the same number of", "do the same with"."""
        self.flush()
        before = (self.kept or self.state.sentence)[-1 if phrase.words == "number" else 0 :]
        for place, one in enumerate(before):
            draft = self.grow(phrase, fresh=place > 0)
            draft.count, draft.more, draft.sides = one.count, True, one.sides
            draft.shape, draft.shaped, draft.across = one.shape, one.shaped, one.across
            draft.diagonal, draft.times, draft.way = one.diagonal, one.times, one.way
        self.repeated = len(before)
