"""Cloth by its name: "from the blue print", "of each of 9 reds", "Background (cloud):"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from catalog.pattern.words.phrases.phrase_values import Phrase, kind_at, mark_at, word_at
from catalog.pattern.words.phrases.trade_words import (
    ARTICLES,
    CLOTH_NOUNS,
    COLOURS,
    CUT,
    FUNCTION,
    LEFT_OVER,
    PARTS_OF_QUILT,
    PRONOUNS,
    RECUT,
    SEW,
    SEW_FIRST,
    SHAPES,
    TRIANGLES,
)
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import Token

LEADS: Final = words_in("from of using with take")
STARTERS: Final = words_in("start begin starting beginning began")
ORDER: Final = words_in("first second third fourth fifth sixth last next other extra")
"""Words that tell strips apart and name no cloth."""
ENDS: Final = FUNCTION | CUT | RECUT | SHAPES.keys() | TRIANGLES
MAX_NAME: Final = 5
"""Words in the name of a cloth; more are a sentence."""
MAX_READ: Final = 12
"""Words read for a name before it is given up."""


def name_at(tokens: Sequence[Token], at: int) -> tuple[str, int]:
    """Read the name of a cloth: words up to one that can't be in it.

    Returns
    -------
    tuple
        The name, empty where none begins here, and the place after it.
    """
    words: list[str] = []
    while (word := word_at(tokens, at)) and len(words) <= MAX_READ:
        ends = word.split("'")[0] in ENDS - LEFT_OVER and [*words, word] != ["fabric", "i"]
        if ends and not _joins(tokens, at, words):
            break
        words.append(word)
        at += 1
        if mark_at(tokens, at, "/&") and word_at(tokens, at + 1):
            words.append(tokens[at].text)
            at += 1
        if mark_at(tokens, at, "#") and kind_at(tokens, at + 1) == "number":
            words.append(f"#{tokens[at + 1].text}")
            at += 2
        if _is_numbered(tokens, at, words[-1]):
            words.append(tokens[at].text)
            at += 1
    return tidy_name(words), at


def _is_numbered(tokens: Sequence[Token], at: int, word: str) -> bool:
    """Tell "Fabric 2", "Print 1:" from a cloth before a count."""
    if kind_at(tokens, at) != "number" or not tokens[at].whole:
        return False
    alone = kind_at(tokens, at + 1) in {"", "mark"} or word_at(tokens, at + 1) == "cut"
    numbered = word in {"print", "color", "colour", "solid", "shade", "tone", "background", "scrap"}
    return word == "fabric" or (numbered and alone)


def _joins(tokens: Sequence[Token], at: int, words: Sequence[str]) -> bool:
    """Tell "border and binding", "black and white", "first plain" from the end of a name."""
    if word_at(tokens, at) == "first":
        return bool(word_at(tokens, at + 1)) and word_at(tokens, at + 1) not in ENDS | {"we", "i"}
    if word_at(tokens, at) != "and" or not words:
        return False
    following = word_at(tokens, at + 1)
    both = PARTS_OF_QUILT | COLOURS
    if words[-1] in both and following in both:
        return word_at(tokens, at + 2) not in SHAPES
    ended = kind_at(tokens, at + 2) in {"", "mark"} or word_at(tokens, at + 2) in CLOTH_NOUNS | CUT
    named = following and following not in ENDS | ARTICLES | SEW_FIRST | both
    return bool(named and ended and words[-1] not in both)


def tidy_name(words: Sequence[str]) -> str:
    """Return a name without articles, "leftover" and the like, and "fabric" at its end."""
    kept = [word for word in words if word not in LEFT_OVER]
    while kept and kept[0] in ARTICLES and not (len(kept) == 1 and kept[0] == "a"):
        kept = kept[1:]
    while len(kept) > 1 and kept[-1] in {"fabric", "fabrics", "cloth", "yardage", "material"}:
        kept = kept[:-1]
    text = " ".join(kept).replace(" / ", "/").replace(" & ", " and ")
    return "" if text in {"fabric", "cloth", "yardage", "material", "it"} else text


def cloth_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read what cloth something is cut from, or that it is cut from strips just cut."""
    same = [word_at(tokens, place) for place in range(at, at + 4)]
    if (
        same[0] == "of"
        and "same" in same[1:3]
        and same[2 + (same[1] == "the")] in {"size", "width"}
    ):
        return Phrase("more", at, at + 3 + (same[1] == "the"))
    if same[0] == "of" and same[1] in SHAPES and kind_at(tokens, at - 1) == "number":
        return None
    if word_at(tokens, at) in {"each", "ea"} and word_at(tokens, at + 1) == "of":
        return _of_each(tokens, at)
    led = _past_lead(tokens, at)
    return _behind_lead(tokens, at, led) if led else None


def _past_lead(tokens: Sequence[Token], at: int) -> int:
    """Return the place behind "from", "out of", "starting with"; 0 where none stands."""
    word, following = word_at(tokens, at), word_at(tokens, at + 1)
    if (word in STARTERS and following == "with") or (word == "out" and following == "of"):
        return at + 2
    if word == "in":
        return at + 1 if following in COLOURS else 0
    names = word not in {"with", "take"} or _names_fabric(tokens, at)
    return at + 1 if word in LEADS and names else 0


def _behind_lead(tokens: Sequence[Token], start: int, at: int) -> Phrase | None:
    """Read the cloth behind "from"."""
    number, at = _each_of(tokens, at)
    if kind_at(tokens, at) == "number" and not number:
        return None
    if numbered := _numbered(tokens, start, at):
        return numbered
    name, after = name_at(tokens, at)
    said = [word_at(tokens, place) for place in range(at, after + 1)]
    if number < 0 and not name and not _is_pronoun(tokens, at):
        return Phrase("cloth", start, at, number)
    if number < 0 and name:
        names, end = listed_names(tokens, at)
        inner, closed = _in_brackets(tokens, end)
        if len(inner) > 1 and mark_at(tokens, closed, ")"):
            names, end = inner, closed + 1
        return Phrase("cloth", start, end, number, words=" and ".join(names))
    if not name:
        return _source(tokens, start, at, after, said)
    if name in ORDER and word_at(tokens, after) in {"strip", "strips"}:
        return Phrase("source", start, after + 1, words="strips")
    return Phrase("cloth", start, after, number, words=name)


def _numbered(tokens: Sequence[Token], start: int, at: int) -> Phrase | None:
    """Read "fabrics 2, 3 and 4": each of them."""
    if word_at(tokens, at) != "fabrics":
        return None
    names, place = [], at + 1
    while kind_at(tokens, place) == "number" and tokens[place].whole:
        names.append(f"fabric {tokens[place].text}")
        place += 1
        ends = place
        while mark_at(tokens, place, ",&") or word_at(tokens, place) == "and":
            place += 1
    return Phrase("cloth", start, ends, -1, words=" and ".join(names)) if len(names) > 1 else None


def listed_names(tokens: Sequence[Token], at: int) -> tuple[list[str], int]:
    """Read "red, blue and green"; a single name where no "and" ends the list."""
    name, after = name_at(tokens, at)
    names, place = name.split(" and "), after
    while mark_at(tokens, place, ",&") or word_at(tokens, place) == "and":
        last = word_at(tokens, place) == "and" or mark_at(tokens, place, "&")
        begin = place + 1 + (not last and word_at(tokens, place + 1) == "and")
        last = last or begin > place + 1
        other, end = name_at(tokens, begin)
        if not other:
            break
        names += other.split(" and ")
        place = end
        if last or " and " in other:
            return names, place
    return (names, after) if len(names) > 1 and " and " in name else ([name], after)


def _in_brackets(tokens: Sequence[Token], at: int) -> tuple[list[str], int]:
    """Read "(red, blue, green)"."""
    names: list[str] = []
    while mark_at(tokens, at, "(," if not names else ",&") or word_at(tokens, at) == "and":
        name, after = name_at(tokens, at + 1)
        if not name:
            break
        names, at = [*names, *name.split(" and ")], after
    return names, at


def per_cloth_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "per print", "per colour"."""
    name, after = name_at(tokens, at + 1) if word_at(tokens, at) == "per" else ("", at)
    if not name or not names_cloth(name.split(), frozenset()):
        return None
    return Phrase("cloth", at, after, -1, words=name)


def _of_each(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "each of red and blue", "each of the 9 prints"."""
    number, place = _each_of(tokens, at)
    name, after = name_at(tokens, place)
    if not name:
        return None
    names, after = listed_names(tokens, place) if number < 0 else ([name], after)
    return Phrase("cloth", at, after, number, words=" and ".join(names))


def _is_pronoun(tokens: Sequence[Token], at: int) -> bool:
    return word_at(tokens, at) in PRONOUNS - {"each"} or word_at(tokens, at) in LEFT_OVER


def _names_fabric(tokens: Sequence[Token], at: int) -> bool:
    """Tell "with the light fabric" from "with right sides together"."""
    name, _ = name_at(tokens, at + 1)
    words = name.split()
    said = [word_at(tokens, place) for place in range(at + 1, at + 6)]
    before = word_at(tokens, at - 1) == "same" or word_at(tokens, at) == "take"
    return before and bool(name) and (names_cloth(words, frozenset()) or "fabric" in said)


def _each_of(tokens: Sequence[Token], at: int) -> tuple[int, int]:
    """Read "each of the 20": the number (-1 where it isn't told), and the place after it."""
    each, place = False, at
    while word_at(tokens, place) in {"each", "ea", "every", "both", "of", "the", "your", "all"}:
        each = each or word_at(tokens, place) in {"each", "ea", "every", "both"}
        place += 1
    if not each:
        return 0, at
    if kind_at(tokens, place) == "number" and (number := tokens[place].whole):
        return number, place + 1
    if word_at(tokens, place) in SHAPES:
        return 0, at
    return -1, place


def _source(
    tokens: Sequence[Token], start: int, at: int, after: int, said: Sequence[str]
) -> Phrase | None:
    """Read "from these", "from the remaining strip"."""
    end, words = at, []
    while word_at(tokens, end) in PRONOUNS | LEFT_OVER | ARTICLES | {
        "fabric",
        "what",
        "is",
        "left",
        "cloth",
    }:
        words.append(word_at(tokens, end))
        end += 1
    if not words:
        return Phrase("source", start, max(after, start + 1), words="rest") if after > at else None
    if word_at(tokens, at) in {"each", "every"} or (
        word_at(tokens, at - 1) in {"each", "of"}
        and ("each" in [word_at(tokens, place) for place in range(start, at)])
    ):
        return Phrase("source", start, end, words="each")
    rest = set(words) & (LEFT_OVER | {"fabric", "left"}) and not set(words) & {"strip", "strips"}
    return Phrase("source", start, end, words="rest" if rest else "strips")


def head_at(tokens: Sequence[Token], at: int) -> tuple[str, str, int] | None:
    """Read the name that a line begins with: "Sashing (grey)", "Inner border, dark".

    Returns
    -------
    tuple or None
        The cloth, the part of the quilt (either may be empty), and the place after the name.
    """
    names: list[str] = []
    place = at
    while len(names) < 3:
        name, after = name_at(tokens, place)
        if not name or len(name.split()) > MAX_NAME:
            break
        names.append(name)
        if word_at(tokens, after) in SHAPES and mark_at(tokens, after + 1, ":-,"):
            after += 1
        if mark_at(tokens, after, ")]"):
            after += 1
        place = after
        if not mark_at(tokens, after, ",(["):
            break
        following, _ = name_at(tokens, after + 1)
        if not following or word_at(tokens, after + 1) in SEW | {"half", "quarter"}:
            break
        place = after + 1
    if not names:
        return None
    cloth, part = cloth_and_part(names)
    return cloth, part, place


def cloth_and_part(names: Sequence[str]) -> tuple[str, str]:
    """Tell of several names which is the cloth and which the part of the quilt.

    "Fabric A (navy)" is called "fabric a", as the text goes on to do.
    """
    parts = [name for name in names if is_part(name) or name == "background"]
    cloths = [name for name in names if name not in parts]
    if cloths and (cloths[0].startswith("fabric ") or not parts):
        return cloths[0], parts[0] if parts else ""
    return (cloths[0] if cloths else ""), (parts[0] if parts else "")


def is_part(name: str) -> bool:
    """Tell whether a name says where in the quilt something goes, and not what cloth it is."""
    words = name.split()
    return all(word in PARTS_OF_QUILT for word in words)


def names_cloth(words: Sequence[str], known: frozenset[str]) -> bool:
    """Tell whether words between a number and a shape are a cloth's name."""
    name = " ".join(words)
    return name in known or any(word in COLOURS or word in CLOTH_NOUNS for word in words)
