"""Pieces gathered word by word: the one in hand, those kept, and what was heard."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.draft_completion import completed, give_size, of_each_cloth
from catalog.pattern.words.phrases.phrase_values import Phrase, word_at
from catalog.pattern.words.phrases.trade_words import COLOURS, SHAPES, TRIANGLES
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

RESTATING = words_in("have should total altogether now ready")


class PieceGathering:
    """The pieces of one sentence as they come together.

    Parameters
    ----------
    state : ReadingState
    tokens : sequence of Token
        Of the whole line.
    phrases : sequence of Phrase
        Of the sentence.
    """

    def __init__(
        self, state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]
    ) -> None:
        self.state, self.tokens, self.phrases = state, tokens, phrases
        self.draft: Draft | None = None
        self.kept: list[Draft] = []
        self.waiting: list[Draft] = []
        """Counted, but of a size that is told later."""
        self.cut_again: list[Draft] = []
        """Pieces of a size that is named, which are cut further."""
        self.missing: list[str] = []
        """What incomplete pieces lack."""
        self.cut_seen = any(one.kind in {"cut", "recut"} for one in phrases)
        words = {token.text for one in phrases for token in tokens[one.first : one.last]}
        self.restates = not self.cut_seen and bool(words & RESTATING)
        """Whether the sentence only says again what was cut."""
        self.recut = state.recut_indent >= 0
        self.per_strip = self.then = self.along = self.bracket = self.after_total = False
        self.naming, self.for_what, self.after_trim = True, False, False
        self.letter = ""
        """A single capital before a size or a count."""
        self.ahead: list[str] = []
        """Words before a count that may name its cloth: "oat 24, moss 12"."""
        self.names_first = False
        """Whether the sentence names each cloth before its count."""
        self.repeated = 0
        self.draft_counted_first = False
        """The same of the piece before it."""
        self.draft_counted_last = False
        """Whether the piece in hand told its size before its count."""
        self.source_named = self.per_block = False
        self.pending_triangles = 0
        self.heard: set[int] = set()
        """First tokens of the counts and sizes that were understood."""
        self.common: Draft | None = None
        """Size and shape that stand before a colon, for all that follows."""
        self.shared_count = 0
        """Of "2 of each"."""
        self.resolved = False
        """Whether something was understood that is no piece."""

    def flush(self) -> None:
        """End the piece in hand: keep it if it is whole, or can be made so by those before it."""
        draft, self.draft = self.draft, None
        if draft is None or not (draft.count or draft.sides):
            return
        if lacking := completed(draft, self):
            if lacking == "its size":
                self.waiting.append(draft)
            elif lacking == "nothing":
                self.heard |= draft.heard if self.resolved else set()
            else:
                self.missing.append(lacking)
            return
        if self.pending_triangles and not draft.is_strip:
            draft.said_triangles, self.pending_triangles = self.pending_triangles, 0
        whole = [*give_size(self.waiting, draft, self.state), *of_each_cloth(draft)]
        self.waiting = []
        self.heard |= set().union(*(one.heard for one in whole))
        self.kept += whole
        self.state.drafts += whole

    def last(self) -> Draft | None:
        """Return the piece before: of this sentence, or of the same cloth."""
        if self.kept:
            return self.kept[-1]
        return self.state.drafts[-1] if self.state.drafts else None

    def grow(self, phrase: Phrase, *, fresh: bool = False) -> Draft:
        """Return the piece in hand with a phrase in it, or a new one that begins with it."""
        if fresh:
            self.flush()
        start, end = self.tokens[phrase.first].start, self.tokens[phrase.last - 1].end
        if self.draft is None:
            state = self.state
            label, self.letter = self.letter or state.label, ""
            self.draft = Draft(start, end, label=label, line=state.line, indent=state.indent)
            self.draft.part = state.part
            self.draft.recut, self.draft.per_strip = self.recut, self.per_strip
            self.draft.bracket, self.draft.along = self.bracket, self.along
            self.draft.per_block = state.per_block or self.per_block
            self.naming, self.for_what = True, False
        self.draft.end = max(end, self.draft.end)
        self.draft.heard.add(phrase.first)
        return self.draft

    def cuts_after(self, phrase: Phrase) -> bool:
        """Tell whether something is cut behind a phrase."""
        return any(
            one.kind in {"cut", "count"} and one.first >= phrase.last for one in self.phrases
        )

    def leave_out_sums(self) -> None:
        """Leave out "48 squares" where "24 red and 24 blue" tell what they are."""
        for place, whole in enumerate(self.kept):
            parts = [one for one in self.kept[place + 1 :] if one.like is whole]
            if len(parts) > 1 and sum(one.count for one in parts) == whole.count:
                self.kept.remove(whole)
                self.state.drafts.remove(whole)
                return

    def cuts_next(self, phrase: Phrase) -> bool:
        """Tell whether the very next words count or cut."""
        following = [one for one in self.phrases if one.first >= phrase.last]
        return bool(following) and following[0].kind in {"cut", "count", "recut"}

    def left_out(self) -> bool:
        """Tell whether a size, or how many of something, went into no piece."""
        for phrase in self.phrases:
            if phrase.kind not in {"count", "size"} or phrase.first in self.heard:
                continue
            following = word_at(self.tokens, phrase.last)
            if phrase.kind == "size" or following in SHAPES.keys() | TRIANGLES | COLOURS:
                return True
        return False

    def cut_named(self) -> bool:
        """Tell whether the sentence begins with what was cut: "The 3 in squares"."""
        return any(one.kind in {"size", "count"} for one in self.phrases[:3])
