"""Phrases of cutting: verbs, shapes, across the cloth, across the diagonal, each.

::

    across   := ["x" | "by" | "across"] ("WOF" | "width of fabric" | "selvage to selvage")
    diagonal := "diagonally" | "on the diagonal" | "both diagonals" | "corner to corner"
    times    := "once" | "twice" | "in half" | "into quarters"
    each     := "each of" number | "per block" | "for each block"
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from catalog.pattern.words.phrases.phrase_values import (
    Phrase,
    PhraseKind,
    kind_at,
    mark_at,
    skip,
    word_at,
)
from catalog.pattern.words.phrases.size_phrases import INCH, side_at
from catalog.pattern.words.phrases.trade_words import (
    ARTICLES,
    COLOURS,
    CUT,
    RECUT,
    SEW,
    SEW_FIRST,
    SHAPES,
    TRIANGLES,
)
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

ACROSS_LEADS: Final = words_in("x by across full whole entire the from your cut usable over")
CLOTH_WORDS: Final = words_in("fabric cloth material goods yardage print bolt")
SELVAGE: Final = frozenset(["selvage", "selvedge", "selvages", "selvedges"])
ACROSS: Final = words_in(
    "wof width-of-fabric crosswise cross-grain crossgrain selvage-to-selvage fabric-width "
    "full-width selvedge-to-selvedge width-of-the-fabric width-of-cloth"
)
ALONG: Final = words_in("lof length-of-fabric lengthwise lengthways length-of-grain")
CUT_SIGNS: Final = {"\u22a0": 2, "\u2612": 2, **dict.fromkeys("\u25e9\u25ea\u29c4\u29c5\u2b15", 1)}
"""Squares drawn with their diagonals."""
TIMES: Final = {"once": 1, "twice": 2, "quarters": 2, "fourths": 2, "both": 2, "half": 1, "x": 2}


def across_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read that a strip goes across the cloth, or along its length."""
    place, led = at, False
    side = side_at(tokens, at + 1) if word_at(tokens, at) == "across" else None
    if side and side.unit and word_at(tokens, side.after) in CLOTH_WORDS:
        return Phrase("across", at, side.after + 1, 0, (side.inches(INCH),))
    while kind_at(tokens, place) == "times" or word_at(tokens, place) in ACROSS_LEADS:
        led = led or word_at(tokens, place) not in {"the", "your", "from", "cut"}
        place += 1
    word = word_at(tokens, place)
    if word in ACROSS:
        return Phrase("across", at, place + 1)
    if word in ALONG:
        return Phrase("along", at, place + 1)
    if word == "w" and [word_at(tokens, place + n) for n in (1, 2)] == ["o", "f"]:
        return Phrase("across", at, place + 3)
    dotted = [tokens[n].text for n in range(place, min(place + 5, len(tokens)))]
    if dotted == ["w", ".", "o", ".", "f"]:
        return Phrase("across", at, place + 5 + mark_at(tokens, place + 5, "."))
    if (
        word in {"edge", "side"}
        and word_at(tokens, place + 1) == "to"
        and (word_at(tokens, place + 2) == word)
    ):
        return Phrase("across", at, place + 3)
    if word in SELVAGE and word_at(tokens, place + 1) == "to":
        return Phrase("across", at, place + 3)
    if word in {"width", "length", "grain"} | CLOTH_WORDS:
        return _of_cloth(tokens, at, place, led=led)
    return _along_words(tokens, at)


def _of_cloth(tokens: Sequence[Token], at: int, place: int, *, led: bool) -> Phrase | None:
    """Read "width of the fabric", "fabric width", "across the cloth"."""
    word = word_at(tokens, place)
    if word in CLOTH_WORDS:
        if word_at(tokens, place + 1) == "width":
            return Phrase("across", at, place + 2)
        across = word_at(tokens, at) == "across" and word not in {"print"}
        return Phrase("across", at, place + 1) if across else None
    kind: PhraseKind = "across" if word == "width" else "along"
    after = place + 1
    if word_at(tokens, after) == "of":
        cloth = skip(tokens, after + 1, {"the", "your"})
        if word_at(tokens, cloth) in CLOTH_WORDS:
            return Phrase(kind, at, cloth + 1)
        if word == "length" and word_at(tokens, cloth) == "width":
            return _of_cloth(tokens, at, cloth, led=True)
    if word_at(tokens, after) == "of" and word_at(tokens, at) in {"from", "across", "along"}:
        return Phrase(kind, at, after)
    if word == "length" and word_at(tokens, at) != "along" and word_at(tokens, at - 1) != "along":
        return None
    return Phrase(kind, at, after) if led else None


def _along_words(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "parallel to the selvage", "along the length of the fabric"."""
    if word_at(tokens, at) == "parallel" and word_at(tokens, at + 1) == "to":
        end = skip(tokens, at + 2, {"the"})
        return Phrase("along", at, end + 1) if word_at(tokens, end) in SELVAGE else None
    if word_at(tokens, at) == "along":
        end = skip(tokens, at + 1, {"the", "whole", "full"})
        if word_at(tokens, end) in SELVAGE:
            return Phrase("along", at, end + 1)
        if word_at(tokens, end) == "length":
            cloth = skip(tokens, end + 1, {"of", "the"})
            return Phrase("along", at, cloth + (word_at(tokens, cloth) in CLOTH_WORDS))
    return None


def diagonal_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read where a cut goes from corner to corner, and how often where the words say so."""
    if word_at(tokens, at) == "from" and word_at(tokens, at + 1) in {"corner", "point"}:
        return diagonal_at(tokens, at + 1)
    if kind_at(tokens, at) == "mark" and tokens[at].text in CUT_SIGNS:
        return Phrase("diagonal", at, at + 1, CUT_SIGNS[tokens[at].text])
    word, after = word_at(tokens, at), at + 1
    if word in {"diagonally", "diagonal", "diagonals", "cornerwise", "corner-to-corner"}:
        return Phrase("diagonal", at, after, 2 if word == "diagonals" else 0)
    if word in {"kitty-corner", "catty-corner", "cater-corner", "kitty-cornered"}:
        return Phrase("diagonal", at, after)
    if word in {"kitty", "catty"} and word_at(tokens, after).startswith("corner"):
        return Phrase("diagonal", at, after + 1)
    if word in {"corner", "point"} and word_at(tokens, after) == "to":
        end = skip(tokens, after + 1, {"the", "opposite", "other"})
        return Phrase("diagonal", at, end + (word_at(tokens, end) in {"corner", "point"}))
    if word == "one" and word_at(tokens, after) in {"corner"}:
        end = skip(tokens, after + 1, {"to", "the", "opposite", "other"})
        return Phrase("diagonal", at, end + (word_at(tokens, end) == "corner"))
    return None


def times_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read how often something is cut."""
    word = word_at(tokens, at)
    if word in {"once", "twice"}:
        return Phrase("times", at, at + 1, TIMES[word])
    if word == "in" and word_at(tokens, at + 1) == "both":
        return Phrase("times", at, at + 3, 2)
    if word in {"both", "each"} and word_at(tokens, at + 1).startswith("diagonal"):
        return Phrase("times", at, at + 1, 2 if word == "both" else 1)
    if word == "both" and word_at(tokens, at + 1) == "ways":
        return Phrase("times", at, at + 2, 2)
    if word in {"in", "into"} and word_at(tokens, at + 1) in {"half", "quarters", "fourths"}:
        return Phrase("times", at, at + 2, TIMES[word_at(tokens, at + 1)])
    if word in {"in", "with"} and word_at(tokens, skip(tokens, at + 1, {"an"})) == "x":
        return Phrase("times", at, skip(tokens, at + 1, {"an"}) + 1, 2)
    if word == "halves":
        return Phrase("times", at, at + 1, 1)
    if kind_at(tokens, at) == "number" and word_at(tokens, at + 1) in {"diagonal", "diagonals"}:
        return Phrase("times", at, at + 1, tokens[at].whole or 1)
    twice = kind_at(tokens, at) == "number" and word_at(tokens, at + 1) == "times"
    return Phrase("times", at, at + 2, tokens[at].whole or 0) if twice else None


def verb_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read cutting, cutting again, and sewing."""
    word = word_at(tokens, at)
    if word == "cuts" and kind_at(tokens, at - 1) == "number" and word_at(tokens, at + 1) == "of":
        return None
    if word in RECUT:
        return Phrase("recut", at, at + 1, words=word)
    if (
        word in {"sub", "cross", "re"}
        and word_at(tokens, at + 1 + mark_at(tokens, at + 1, "-")) == "cut"
    ):
        return Phrase("recut", at, at + 2 + mark_at(tokens, at + 1, "-"), words="subcut")
    if word == "cutting" and mark_at(tokens, at - 1, ",;"):
        return Phrase("cut", at, at + 1, words=word)
    if word in CUT:
        return Phrase("cut", at, at + 1, words=word)
    begins = (
        at == 0 or mark_at(tokens, at - 1, ".;:,") or word_at(tokens, at - 1) in {"then", "and"}
    )
    if begins and names_a_thing(tokens, at):
        return None
    if word in SEW or (word in SEW_FIRST and begins and _is_verb(tokens, at)):
        return Phrase("sew", at, at + 1, words=word)
    return None


def names_a_thing(tokens: Sequence[Token], at: int) -> bool:
    """Tell "Iron grey: 5 strips", "hem, grey:" from what is done with pieces."""
    word, following = word_at(tokens, at), word_at(tokens, at + 1)
    if word in SEW and following in COLOURS - ARTICLES and not following.endswith("s"):
        return mark_at(tokens, at + 2, ",:-(") or kind_at(tokens, at + 2) == "number"
    return word in {"hem", "trim"} and mark_at(tokens, at + 1, ",:(")


def _is_verb(tokens: Sequence[Token], at: int) -> bool:
    """Tell "place the squares" from "Centre: 4 squares"."""
    return kind_at(tokens, at + 1) in {"word", "number"} and (
        word_at(tokens, at + 1) not in SHAPES
        or (word_at(tokens, at + 2) not in {""} and kind_at(tokens, at + 2) == "word")
    )


def shape_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read a shape: a square, a rectangle, a strip, or the triangles that they give."""
    word = word_at(tokens, at)
    if word == "cuts" and kind_at(tokens, at - 1) == "number" and word_at(tokens, at + 1) == "of":
        return Phrase("shape", at, at + 1, words="strips", shape="strip")
    half = word in {"half-square", "quarter-square", "setting", "side", "corner"}
    if word in TRIANGLES or (half and word_at(tokens, at + 1) in TRIANGLES):
        return Phrase("triangles", at, at + 1 + half, words=word)
    if word in {"half", "quarter"} and word_at(tokens, at + 1) == "square":
        more = word_at(tokens, at + 2) in TRIANGLES
        return Phrase("triangles", at, at + 2 + more, words=f"{word}-square")
    if word in SHAPES:
        return Phrase("shape", at, at + 1, words=word, shape=SHAPES[word])
    return None


def each_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "per block", "for each block", "in all", "more", "the same", "then"."""
    word, after = word_at(tokens, at), at + 1
    if word in {"per", "for", "each", "every"}:
        block = skip(tokens, at, {"per", "for", "each", "every", "one", "a"})
        one = word != "for" or word_at(tokens, after) in {"each", "every", "one", "a"}
        if kind_at(tokens, block) == "number" and tokens[block].whole == 1:
            one, block = True, block + 1
        if one and word_at(tokens, block) == "block":
            return Phrase("each", at, block + 1, words="block")
    if word in {"total", "altogether", "totaling", "totalling"}:
        return Phrase("total", at, after)
    if word == "in" and word_at(tokens, after) in {"all", "total"}:
        return Phrase("total", at, after + 1)
    if word in {"more", "additional", "extra"}:
        return Phrase("more", at, after)
    if word == "ditto" and word_at(tokens, after) in {"of", "from", "in"}:
        return Phrase("same", at, after)
    if word == "the" and word_at(tokens, after) == "same":
        if word_at(tokens, after + 1) == "number":
            return Phrase("same", at, after + 2, words="number")
        if word_at(tokens, after + 1) in {"of", "from", "with", "for", "in", "using"}:
            return Phrase("same", at, after + 1)
    return Phrase("then", at, after) if word == "then" else None
