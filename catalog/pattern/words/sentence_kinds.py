"""What a sentence is about: cutting, sewing, or a size that is not cut."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, Literal

from catalog.pattern.words.cut_drafts import ReadingState
from catalog.pattern.words.phrases.cloth_phrases import name_at, names_cloth
from catalog.pattern.words.phrases.phrase_values import Phrase, mark_at, skip, word_at
from catalog.pattern.words.phrases.trade_words import NOTES, SEWN_THINGS
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

SentenceKind = Literal["cutting", "sewing", "width", "needs", "size"]
WHAT: Final[dict[SentenceKind, str]] = {
    "sewing": "sewing", "width": "the usable width", "needs": "what a block takes",
    "size": "a size that isn't cut",
}  # fmt: skip
NARROWEST, WIDEST = Fraction(15), Fraction(130)
"""Inches of a cloth's usable width: fat quarters have 18 to 22, backing 108 (`common practice`)."""
MIN_KEY: Final = 2
"""Letters in a key; one alone may be an article."""
LISTED: Final = words_in("quantities amounts numbers pieces counts sizes list cutting cut given")
"""Words of "the numbers are for one block"."""
IN_HAND: Final = words_in("pack packs bundle bundles roll rolls stack stacks")
"""Of squares and strips that are bought cut."""
SIZED: Final = words_in("quilt quilts about approximately approx wallhanging topper")
"""Words beside the size of the whole."""


def kind_of_sentence(
    state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]
) -> SentenceKind:
    """Tell what a sentence is about."""
    words = {token.text for one in phrases for token in tokens[one.first : one.last]}
    cuts = any(one.kind in {"cut", "recut"} for one in phrases)
    sizes = [one for one in phrases if one.kind == "size"]
    if _tells_width(words, phrases, cuts=cuts):
        return "width"
    if words & IN_HAND and words & {"of", "with"} and not cuts and not words & {"from", "each"}:
        return "size"
    if any(one.kind == "each" for one in phrases) and not sizes and not cuts:
        return "needs"
    told = {one.words for one in phrases if one.kind == "sew"}
    if not cuts and not told and sizes and words & SIZED and not _is_list(phrases):
        return "size"
    if "each" in words and any(one.kind == "blocks" for one in phrases) and not sizes and not cuts:
        return "needs"
    if _sews(state, phrases, words, cuts=cuts):
        return "sewing"
    counts = any(one.kind == "count" for one in phrases)
    listed = counts and (_is_list(phrases) or any(one.kind == "shape" for one in phrases))
    if not cuts and sizes and words & (NOTES | SIZED) and not listed:
        return "size"
    return "cutting"


def _tells_width(words: set[str], phrases: Sequence[Phrase], *, cuts: bool) -> bool:
    counts = any(one.kind == "count" for one in phrases)
    sizes = [one for one in phrases if one.kind == "size" and len(one.sides) == 1]
    fabric = words & {"fabric", "fabrics", "cloth", "material", "materials", "cottons"}
    wide = words & {"wide", "width", "wof"} and (fabric or words & {"=", "is", "are", ":", "all"})
    counted_on = words >= {"count", "on"} or words >= {"reckon", "on"}
    says = "usable" in words or wide or counted_on or (
        words & {"used"} and words & {"assume", "assumes", "assuming"} and fabric) or (
        words & {"wof", "width", "wide"} and words & {"based", "assumes", "assume", "assumed",
                                                     "assuming", "equals", "means", "bolt", "bolts"}
    )  # fmt: skip
    return bool(says and len(sizes) == 1 and not counts and not cuts)


def _is_list(phrases: Sequence[Phrase]) -> bool:
    """Tell whether a sentence begins with how many or how large."""
    saying = [one for one in phrases if one.kind not in {"stop"}]
    return bool(saying) and saying[0].kind in {"count", "size", "shape"}


def _sews(state: ReadingState, phrases: Sequence[Phrase], words: set[str], *, cuts: bool) -> bool:
    verbs = [one.kind for one in phrases if one.kind in {"cut", "recut", "sew", "count", "size"}]
    first = next((kind for kind in verbs if kind in {"cut", "recut", "sew"}), "")
    if not first:
        return state.section == "sewing"
    if words & {"selvage", "selvages", "selvedge", "selvedges"} and "size" not in verbs:
        return True
    if first == "sew":
        leads = verbs[0] == "sew"
        marked = words & {"line", "lines", "drawn", "marked"} or state.section == "sewing"
        if cuts and not marked and any(one.kind == "diagonal" for one in phrases):
            return words & SEWN_THINGS != set()
        return (leads and not _cut_with_count(phrases)) or (not cuts and not _is_list(phrases))
    if state.sewn and words & SEWN_THINGS:
        return True
    sewn = words & SEWN_THINGS or "line" in words or "lines" in words
    measured = any(one.kind == "size" for one in phrases)
    return bool(sewn and (state.section == "sewing" or not measured or "strip-sets" in words))


def _cut_with_count(phrases: Sequence[Phrase]) -> bool:
    """Tell whether a sentence that begins with sewing goes on to cut cloth."""
    cut = next((n for n, one in enumerate(phrases) if one.kind == "cut"), None)
    sewn = next((n for n, one in enumerate(phrases) if one.kind == "sew"), 0)
    if cut is None or cut < sewn:
        return False
    cloth = any(one.kind == "cloth" for one in phrases)
    after = {one.kind for one in phrases[cut:]}
    joins = phrases[sewn].words in {"sew", "stitch", "join"}
    return "count" in after and (cloth or ("size" in after and not joins))


def read_note(
    state: ReadingState,
    tokens: Sequence[Token],
    phrases: Sequence[Phrase],
    kind: SentenceKind,
    text: str,
) -> None:
    """Take in what a sentence says that cuts nothing."""
    state.noted.append((text, WHAT[kind]))
    words = {token.text for one in phrases for token in tokens[one.first : one.last]}
    if words >= {"make", "each"} and words & {"block", "blocks"}:
        _make_more(state, phrases, text)
    if kind == "size":
        _read_sizes(state, tokens, phrases)
    if kind == "width":
        side = next(one.sides[0] for one in phrases if one.kind == "size")
        if NARROWEST <= side <= WIDEST:
            state.usable = side
    elif kind == "needs":
        _read_needs(state, tokens, phrases)
    for one in phrases:
        if one.kind == "blocks" and kind != "width":
            state.blocks = state.blocks or one.number


def _make_more(state: ReadingState, phrases: Sequence[Phrase], text: str) -> None:
    """Mark what is cut where "make 10 of each block" is said behind it, for one or for all."""
    if not any(one.kind == "count" and one.number > 1 for one in phrases):
        return
    for one in state.drafts:
        if not one.per_block:
            one.doubts.append(f'"{text}" is said; counted once')


def note_fabrics(state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]) -> None:
    """Take in how many fabrics there are: "You need 7 prints"."""
    for phrase in phrases:
        if phrase.kind != "count" or phrase.number < 2:
            continue
        if (
            mark_at(tokens, phrase.first - 1, ":=")
            and word_at(tokens, phrase.first - 2) == "blocks"
        ):
            state.blocks = state.blocks or phrase.number
        name, _ = name_at(tokens, skip(tokens, phrase.last, {"different", "assorted"}))
        words = name.split()
        several = bool(words) and words[-1].endswith("s") and words[-1] != "fabrics"
        if (several and names_cloth(words, frozenset())) or words[-1:] == ["fabrics"]:
            state.fabrics.setdefault(name, phrase.number)


def _read_sizes(state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]) -> None:
    """Take in how large the quilt and its blocks are once sewn."""
    words = {token.text for one in phrases for token in tokens[one.first : one.last]}
    sizes = [one.sides for one in phrases if one.kind == "size"]
    quilt = words & {"quilt", "topper", "wallhanging", "throw"}
    sides = next((one for one in sizes if len(one) == 2), ())
    if quilt and sides and not words & {"block", "blocks", "unit", "units"}:
        state.quilt_sides = state.quilt_sides or sides
    if words & {"block", "blocks"} and words & {"finished", "finish", "finishes", "finishing"}:
        state.finished_block = state.finished_block or sizes[-1][0]


def read_key(state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]) -> bool:
    """Take in "A sky, B cloud, C sand": the letters that cloths are called by."""
    found: dict[str, str] = {}
    if any(one.kind in {"size", "count", "amount"} for one in phrases):
        return False
    last = phrases[-1].last
    for at in range(phrases[0].first, last):
        letter = tokens[at]
        begins = at == phrases[0].first or mark_at(tokens, at - 1, ",;:")
        if letter.kind == "word" and letter.capital and len(letter.text) == 1 and begins:
            behind = at + 1 + mark_at(tokens, at + 1, "=-:")
            name, after = name_at(tokens, behind)
            if name and (after >= last or mark_at(tokens, after, ",;")):
                found[letter.text.upper()] = name
    if len(found) < MIN_KEY:
        return False
    state.labels.update(found)
    return True


def _read_needs(state: ReadingState, tokens: Sequence[Token], phrases: Sequence[Phrase]) -> None:
    """Read what each block takes: "4 dark squares, 1 centre"."""
    for place, phrase in enumerate(phrases):
        if phrase.kind != "count":
            continue
        words = []
        for one in phrases[place + 1 :]:
            if one.kind not in {"word", "shape"} or one.words in {"and", "with"}:
                break
            words += [one.words] if one.kind == "word" else []
        state.needs.append((phrase.number, " ".join(words)))
    said = {token.text for one in phrases for token in tokens[one.first : one.last]}
    if not any(phrase.kind == "count" for phrase in phrases) and said & LISTED:
        state.per_block = True
