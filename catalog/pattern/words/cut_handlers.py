"""What verbs of cutting say: a new piece, cutting again, cutting across the diagonal."""

from __future__ import annotations

from dataclasses import replace

from catalog.pattern.words.cut_drafts import Draft
from catalog.pattern.words.phrases.phrase_values import Phrase, word_at
from catalog.pattern.words.phrases.trade_words import COLOURS
from catalog.pattern.words.piece_gathering import PieceGathering


class CutHandlers(PieceGathering):
    """Takes cutting, and cutting again, into the pieces."""

    def _cut(self, phrase: Phrase) -> None:
        self.ahead, self.after_total = [], False
        whole = self.draft is not None and self.draft.count and self.draft.sides
        if whole or (self.draft and not self.draft.sides):
            self.flush()
        self.after_trim = False
        if lettered := self._lettered(phrase):
            self.recut = self.per_strip = True
            self.cut_again = lettered
            return
        if self.recut and self.state.recut_indent < 0 and self.kept and not self.then:
            self.recut = self.source_named
        self.source_named = False

    def _recut(self, phrase: Phrase) -> None:
        self.flush()
        following = word_at(self.tokens, phrase.last)
        self.recut = True
        self.per_strip = "each" in phrase.words.split() or following == "each"
        said = set(phrase.words.split())
        self.cut_again = [
            one for one in self.state.drafts
            if not one.used_up and ((phrase.sides and one.sides[:1] == phrase.sides) or
            (one.is_strip and one.cloth and said & set(one.cloth.split())))
        ]  # fmt: skip

    def _sew(self, phrase: Phrase) -> None:
        if phrase.words == "trim" and self.cut_seen:
            self.flush()
            self.after_trim = True
        elif self.draft and self.draft.count and self.draft.sides:
            self.flush()
            self.after_trim = False

    def _then(self, _: Phrase) -> None:
        self.then = True

    def _source(self, phrase: Phrase) -> None:
        last = self.last()
        if phrase.words == "strips" and last and last.is_strip and self._some_of(last):
            return
        if phrase.words == "each" and last and not last.is_strip and not last.strips:
            self.flush()
            self.recut = self.per_strip = True
            self.cut_again = [last]
        elif phrase.words in {"strips", "each"} and (last is None or last.is_strip or last.strips):
            self.flush()
            self.recut = self.source_named = True
        elif phrase.words in {"strips", "each"} and self.state.mentioned:
            named = self.state.mentioned
            many = self.state.fabrics.get(named, 0) if phrase.words == "each" else 0
            self.state.cloth, self.state.each = named, many
        self.resolved = True

    def _lettered(self, phrase: Phrase) -> list[Draft]:
        """Return the pieces that "cut B in half to yield two" names by their letter."""
        behind = self.tokens[phrase.last] if phrase.last < len(self.tokens) else None
        if not behind or not behind.capital or len(behind.text) > 1 or not self.state.drafts:
            return []
        if word_at(self.tokens, phrase.last + 1) not in {"in", "into"}:
            return []
        letter = behind.text.upper()
        return [one for one in self.state.drafts if one.label == letter and one.sides]

    def _some_of(self, strips: Draft) -> bool:
        """Take in "six of them", where eight strips were cut: two are left as they are."""
        some = self.draft
        if not (some and some.count and not some.sides and not some.shaped and self.recut):
            return False
        if some.count < strips.count:
            left = replace(strips, count=strips.count - some.count, set_aside=True)
            self.state.drafts.append(left)
            strips.count = some.count
            strips.doubts.append(f"{some.count} are cut further, {left.count} left as they are")
        self.heard |= some.heard
        self.cut_again = [strips]
        self.draft, self.resolved = None, True
        return True

    def _diagonal(self, phrase: Phrase) -> None:
        for draft in self._cut_across_diagonal():
            draft.diagonal = True
            draft.times = max(draft.times, phrase.number)
            draft.end = (
                max(draft.end, self.tokens[phrase.last - 1].end)
                if (draft.line == self.state.line)
                else draft.end
            )
        self.resolved = True

    def _times(self, phrase: Phrase) -> None:
        for draft in self._cut_across_diagonal():
            draft.times = max(draft.times, phrase.number)

    def _cut_across_diagonal(self) -> list[Draft]:
        """Return the pieces that a diagonal cut is meant for."""
        draft = self.draft
        if draft and draft.sides:
            return [draft]
        words = {word_at(self.tokens, place) for one in self.phrases
                 for place in range(one.first, one.last)}  # fmt: skip
        if "all" in words and self.kept:
            return [one for one in self.kept if one.shape in {None, "square"}]
        last = self.last()
        shapes = {one.shape for one in self.phrases if one.kind == "shape" and one.shape}
        if not self.kept and shapes == {"square"} and last and not _is_square(last):
            before = [one for one in self.state.sentence if _is_square(one)]
            last = before[-1] if before else last
        named = [one for one in self.state.drafts[-8:]
                 if one.cloth and set(one.cloth.split()) & words & COLOURS]  # fmt: skip
        if named and not self.kept:
            return named
        return [last] if last else []


def _is_square(draft: Draft) -> bool:
    """Tell whether a piece is a square, or may be one."""
    return draft.shape == "square" or (draft.shape is None and len(set(draft.sides)) == 1)
