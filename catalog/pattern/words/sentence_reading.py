"""One sentence of cutting: its phrases put together to pieces.

::

    sentence := ["from" cloth] "cut" piece ("," | ";" | "and") piece ...
    piece    := count [cloth] size [shape] ["across"] ["from" cloth] ["cut" diagonal]
              | size shape count | count "more" | count shape "from" cloth
    recut    := strips ("subcut into" | "from these" | "then") piece ...

Count, size and shape stand in any order; a piece ends where one of them would come twice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from catalog.pattern.words.cut_drafts import Draft, ReadingState
from catalog.pattern.words.cut_handlers import CutHandlers
from catalog.pattern.words.draft_completion import NO_CLOTH_NAMED
from catalog.pattern.words.measure_handlers import MeasureHandlers
from catalog.pattern.words.phrases.cloth_phrases import (
    cloth_and_part,
    is_part,
    name_at,
    names_cloth,
    tidy_name,
)
from catalog.pattern.words.phrases.phrase_values import Phrase, PhraseKind, word_at
from catalog.pattern.words.phrases.trade_words import FUNCTION
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

GIVING: Final = words_in("give gives giving yield yields yielding making")
"""Words between strips and what is cut from them."""
FILLING: Final = words_in(
    "ea off of at each that measure measuring measures and from by cut wide long into with a an "
    "the to are in or which"
)
"""Words that may stand within a piece."""


class SentenceReader(MeasureHandlers, CutHandlers):
    """Reads the phrases of one sentence into the state; see `PieceGathering`."""

    def __init__(
        self, state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]
    ) -> None:
        super().__init__(state, tokens, phrases)
        self.handlers: dict[PhraseKind, Callable[[Phrase], None]] = {
            "count": self._count, "size": self._size, "shape": self._shape, "cut": self._cut,
            "triangles": self._triangles, "across": self._across, "along": self._along_cloth,
            "recut": self._recut, "sew": self._sew, "diagonal": self._diagonal,
            "times": self._times, "cloth": self._cloth, "source": self._source,
            "each": self._each, "more": self._more, "same": self._same, "total": self._total,
            "then": self._then, "stop": self._stop, "word": self._word, "blocks": self._blocks,
        }  # fmt: skip

    def read(self) -> None:
        """Read all of it."""
        first = self.phrases[0].first if self.phrases else len(self.tokens)
        if word_at(self.tokens, first) == "the" and not self.cut_named():
            name, _ = name_at(self.tokens, first)
            if name and names_cloth(name.split(), self.state.known()):
                self.state.mentioned = name
        for phrase in self.phrases:
            if handler := self.handlers.get(phrase.kind):
                handler(phrase)
        self.flush()
        self.missing += ["its size"] * len(self.waiting)
        self.leave_out_sums()
        self.state.sentence = self.kept or self.state.sentence

    def _cloth(self, phrase: Phrase) -> None:
        draft = self.draft
        if phrase.number < 0 and not phrase.words and draft and draft.sides:
            draft.each = draft.each or self.state.each
            return
        if phrase.number < 0 and not phrase.words and draft and draft.count:
            self.shared_count, self.draft = draft.count, None
            self.heard |= draft.heard
            return
        if phrase.number > 0 and is_part(phrase.words):
            self.state.blocks, self.per_block = phrase.number, True
            return
        if not phrase.sure:
            self.flush()
            self.state.cloth, self.state.each = phrase.words, 0
            return
        begun = self.kept or (draft and (draft.count or draft.sides))
        leads = word_at(self.tokens, phrase.first) == "from"
        if not begun or (leads and (self.cuts_next(phrase) or
                                    (draft is None and self.cuts_after(phrase)))):  # fmt: skip
            self.flush()
            self.state.cloth, self.state.each = phrase.words, phrase.number
            self.state.mentioned, self.resolved = phrase.words, True
            return
        again = self.kept[1 - self.repeated :] if self.repeated > 1 else []
        for repeated in again:
            repeated.cloth, repeated.each = phrase.words, phrase.number
        for one in (draft, *reversed([] if self.repeated else self.kept)):
            if one is None:
                continue
            if (one.cloth is not None and not one.unnamed) or (one.recut and one is not draft):
                break
            one.cloth, one.each, one.unnamed = phrase.words, phrase.number, False
            one.doubts = [words for words in one.doubts if NO_CLOTH_NAMED not in words]
        if draft:
            self.grow(phrase)
        self.state.mentioned = phrase.words

    def _each(self, phrase: Phrase) -> None:
        if self.draft and self.after_total and self.kept and not self.draft.sides:
            self._restated_per_block(self.kept[-1], self.draft)
            return
        if self.draft:
            self.grow(phrase).per_block = True
            for one in self.kept:
                one.per_block = True
        elif self.kept and not self.cuts_after(phrase):
            self.kept[-1].per_block = True
        else:
            self.per_block = True

    def _restated_per_block(self, whole: Draft, each: Draft) -> None:
        """Leave out "4 per block" behind "36 in total"; what blocks take is held against it."""
        self.state.needs.append((each.count, whole.cloth or ""))
        self.heard |= each.heard
        self.draft, self.resolved = None, True

    def _blocks(self, phrase: Phrase) -> None:
        self.state.blocks = self.state.blocks or phrase.number
        self.resolved = True

    def _stop(self, phrase: Phrase) -> None:
        if phrase.words in {"(", "["}:
            self.bracket = True
        elif phrase.words in {"*", "\u2020"}:
            starred = self.draft or self.last()
            if starred:
                starred.star = True
        elif phrase.words in {")", "]"}:
            said = self.draft and (self.draft.total or self.draft.shaped)
            if self.draft and self.draft.bracket and said and not self.draft.sides:
                self.flush()
            self.bracket = self.after_total = False
        elif phrase.words in {"\u2192", ">"}:
            self.then = True
        elif phrase.words == ";" and not (self.draft and not self.draft.count):
            self.flush()
        elif phrase.words == ":" and self.draft and not self.draft.count:
            self.common = self.draft if self.draft.sides or self.draft.shape else self.common
            self.draft = None if self.common is self.draft else self.draft
        elif phrase.words == ":" and self.draft and (name := tidy_name(self.draft.names[-1])):
            self.draft.names.pop()
            self.flush()
            cloth, part = cloth_and_part([name])
            self.state.head(cloth, part)
        elif phrase.words in ";:" and self.draft is None:
            self.ahead = []
        self.naming, self.for_what = True, False
        if self.draft:
            self.draft.names.append([])

    def _word(self, phrase: Phrase) -> None:
        draft = self.draft
        token = self.tokens[phrase.first]
        person = phrase.words == "i" and not self.bracket
        if draft is None and token.capital and len(phrase.words) == 1 and not person:
            last = self.last()
            if self.bracket and last and last.line == self.state.line and not last.label:
                last.label = token.text.upper()
                return
            self.letter = token.text.upper()
            return
        if draft is None and phrase.words in GIVING and word_at(self.tokens, phrase.first - 1) in {
            "these", "which", ",", ""
        }:  # fmt: skip
            self.then = True
        if draft is None:
            self.ahead = [] if phrase.words in FUNCTION else [*self.ahead, phrase.words]
            return
        if phrase.words in GIVING:
            self.then = True
        if phrase.words in FUNCTION:
            self.naming = False
            self.for_what = phrase.words == "for"
            halfway = draft.count and not draft.sides and not draft.shaped
            if halfway and phrase.words not in FILLING and not self.cut_seen:
                self.draft = None
            return
        if token.capital and len(phrase.words) == 1 and not self.bracket and draft.sides:
            self.letter = token.text.upper()
        if self.bracket and token.capital and len(phrase.words) == 1:
            draft.label = draft.label or token.text.upper()
        elif self.for_what:
            draft.purpose.append(phrase.words)
        elif self.naming:
            draft.names[-1].append(phrase.words)
            if names_cloth(draft.names[-1], self.state.known()):
                draft.end = max(draft.end, self.tokens[phrase.first].end)
