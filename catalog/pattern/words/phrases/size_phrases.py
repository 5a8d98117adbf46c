"""Counts, sizes and amounts of cloth: what numbers say.

::

    size   := ["@" | "at" | "measuring"] side [("x" | "by" | "and" | ",") side]
    side   := number [unit] ["(" number unit ")"] ["wide" | "long"]
    count  := number | "(" number ")" | number "x"
    amount := number "yards" | number "fat quarters" | "half a yard"
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from catalog.pattern.words.phrases.number_words import PARTS
from catalog.pattern.words.phrases.phrase_values import Phrase, kind_at, mark_at, skip, word_at
from catalog.pattern.words.phrases.trade_words import SHAPES, YARDS_OF_FAT
from catalog.pattern.words.phrases.word_sets import words_in
from catalog.pattern.words.phrases.word_tokens import CENTIMETRE, INCH, Token

WIDE: Final = words_in("wide width deep high tall")
LONG: Final = frozenset(["long", "length"])
YARD: Final = Fraction(36)
METRE: Final = 100 * CENTIMETRE
LEADS: Final = words_in("at measuring measure measures that which are each of about")
NO_COUNT_AFTER: Final = words_in(
    "step steps page pg fabric color colour figure fig diagram no number row rows size section "
    "part day "
    "chapter version photo unit seam"
)
"""A number behind one of these is a name."""
NO_COUNT_BEFORE: Final = words_in("percent degrees minutes minute hours times pounds")
ACROSS_STARTS: Final = words_in("wof lof width length full fabric selvage selvedge w")


@dataclass(frozen=True)
class Side:
    """A number that measures."""

    number: Fraction
    unit: Fraction | None
    """Inches in it, where it is said."""
    way: str
    """``wide``, ``long`` or nothing."""
    after: int
    """One past its last token."""
    high: bool = False
    """Whether it is called high or tall, which beside a width is the length."""

    def inches(self, unit: Fraction) -> Fraction:
        """Its length, in its own unit or else in another."""
        return self.number * (self.unit or unit)


def side_at(tokens: Sequence[Token], at: int) -> Side | None:
    """Read a number that may measure."""
    if kind_at(tokens, at) != "number" or not tokens[at].value:
        return None
    before = word_at(tokens, at - 1) if word_at(tokens, at - 1) != "of" else word_at(tokens, at - 2)
    number, unit = tokens[at].value, None
    at += 1
    if kind_at(tokens, at) == "unit" and tokens[at].value < YARD:
        unit, at = tokens[at].value, at + 1
    if unit is not None:
        at = _past_other_unit(tokens, at)
    way_at = at + 1 if mark_at(tokens, at, "-") else skip(tokens, at, {"in"} if unit else set())
    word = word_at(tokens, way_at)
    if word in WIDE | LONG and word_at(tokens, way_at + 1) != "of":
        return Side(number, unit, "wide" if word in WIDE else "long", way_at + 1,
                    word in {"high", "tall"})  # fmt: skip
    if unit and before in {"width", "length"}:
        return Side(number, unit, "wide" if before == "width" else "long", at)
    return Side(number, unit, "", at)


def _past_other_unit(tokens: Sequence[Token], at: int) -> int:
    """Go past the same length in another unit, in brackets or behind a slash."""
    opened = mark_at(tokens, at, "([/")
    if not opened or kind_at(tokens, at + 1) != "number" or kind_at(tokens, at + 2) != "unit":
        return at
    if tokens[at].text == "/":
        return at + 3
    return at + 4 if mark_at(tokens, at + 3, ")]") else at


def size_at(tokens: Sequence[Token], at: int, unit: Fraction) -> Phrase | None:
    """Read a size; a plain whole number is none unless something says that it measures."""
    start, told = at, False
    if word_at(tokens, at) == "at" and word_at(tokens, at + 1) == "least":
        least = side_at(tokens, at + 2)
        return Phrase("word", at, least.after, words="least") if least else None
    while word_at(tokens, at) in LEADS or mark_at(tokens, at, "@"):
        told = told or mark_at(tokens, at, "@") or word_at(tokens, at) in {"at", "measuring"}
        at += 1
    side = side_at(tokens, at)
    if side is None:
        return None
    second = _second_side(tokens, side)
    if second and side.high and second.way == "wide" and not second.high:
        side, second = second, replace(side, after=second.after)
    if second is None:
        measures = told or side.unit or side.number.denominator > 1
        if not measures and not _across_follows(tokens, side.after):
            return None
        return _one_side(start, side, unit)
    if _counts(tokens, side, second, at):
        return None
    return _two_sides(start, side, second, unit)


def _one_side(start: int, side: Side, unit: Fraction) -> Phrase:
    sure = side.unit is not None
    return Phrase("size", start, side.after, 0, (side.inches(unit),), side.way, sure=sure)


def _two_sides(start: int, first: Side, second: Side, unit: Fraction) -> Phrase:
    said = second.unit or first.unit
    own = unit if said is None else said
    sides = first.inches(own), second.inches(own)
    if first.way == "long" or (second.way == "wide" and not first.way):
        sides = sides[1], sides[0]
    words = "both" if first.way or second.way else ""
    return Phrase("size", start, second.after, 0, sides, words, sure=said is not None)


def _second_side(tokens: Sequence[Token], first: Side) -> Side | None:
    """Read what follows "x", "by", or "wide and"."""
    at = first.after
    if first.way and mark_at(tokens, at, ","):
        at += 1
    joined = kind_at(tokens, at) == "times" or word_at(tokens, at) in {"by", "x"}
    if not joined and not (first.way and word_at(tokens, at) in {"and", "with", ""}):
        return None
    second = side_at(tokens, at if first.way and not joined and not word_at(tokens, at) else at + 1)
    if second is None or (not joined and not second.way):
        return None
    return second


def _across_follows(tokens: Sequence[Token], at: int) -> bool:
    joined = kind_at(tokens, at) == "times" or word_at(tokens, at) == "by"
    after = skip(tokens, at + 1, {"the", "x", "by"})
    return joined and word_at(tokens, after).split("-")[0] in ACROSS_STARTS


def _counts(tokens: Sequence[Token], first: Side, second: Side, at: int) -> bool:
    """Tell "4 x 5-inch squares" and "4 x 2 x 5 inches", where the first number is a count."""
    if first.unit or first.number.denominator > 1 or kind_at(tokens, first.after) != "times":
        return False
    if kind_at(tokens, second.after) == "times" and kind_at(tokens, second.after + 1) == "number":
        return True
    counted = at > 0 and (kind_at(tokens, at - 1) == "number" or mark_at(tokens, at - 1, ")-"))
    shape = SHAPES.get(word_at(tokens, second.after))
    return bool(second.unit) and not counted and shape in {"square", "strip"}


def count_at(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read a number that counts."""
    opened = mark_at(tokens, at, "([")
    place = at + 1 if opened else at
    if tokens[place].text == "one" and word_at(tokens, at - 1) in {"each", "every"}:
        return None
    if word_at(tokens, at - 1) == "in" and word_at(tokens, at + 1) in {"piece", "pieces"}:
        return None
    if kind_at(tokens, place) != "number" or (number := tokens[place].whole) is None or not number:
        return None
    after = place + 1
    if word_at(tokens, at - 1) in NO_COUNT_AFTER or word_at(tokens, after) in NO_COUNT_BEFORE:
        return None
    if opened:
        return Phrase("count", at, after + 1, number) if mark_at(tokens, after, ")]") else None
    ranged = mark_at(tokens, after, "-") and kind_at(tokens, after + 1) == "number"
    upper = tokens[after + 1].whole if ranged else None
    if upper and upper > number and word_at(tokens, after + 2):
        return Phrase("count", at, after + 2, upper, sure=False)
    if kind_at(tokens, after) == "times":
        after += 1
    twice = mark_at(tokens, after, "(") and mark_at(tokens, after + 2, ")")
    if twice and kind_at(tokens, after + 1) == "number" and tokens[after + 1].whole == number:
        after += 3
    return Phrase("count", at, after, number)


def amount_at(tokens: Sequence[Token], at: int, *, materials: bool) -> Phrase | None:
    """Read a length of cloth to buy; centimetres only where cloth is listed."""
    if (part := _part_of_yard(tokens, at)) is not None:
        return part
    if listed := _fat_listed(tokens, at):
        return listed
    if word_at(tokens, at) in {"a", "one"} and word_at(tokens, at + 1).startswith(("fat", "fq")):
        return _fat(tokens, at, at + 1)
    if mark_at(tokens, at, "(") and mark_at(tokens, at + 2, ")") and tokens[at + 1].whole:
        bracketed = _fat(tokens, at + 1, at + 3)
        return replace(bracketed, first=at) if bracketed else None
    if kind_at(tokens, at) != "number":
        return None
    number, after = tokens[at].value, at + 1
    if kind_at(tokens, after) == "times" and tokens[at].whole:
        each = amount_at(tokens, after + 1, materials=materials)
        if each and each.first == after + 1:
            return replace(each, first=at, sides=(each.sides[0] * number,))
    if fat := _fat(tokens, at, after):
        return fat
    after = skip(tokens, after, {"of", "a"}) if tokens[at].value < 1 else after
    if kind_at(tokens, after) != "unit" and word_at(tokens, after) not in {"yard", "yards"}:
        return None
    unit = tokens[after].value or YARD
    metric = unit == METRE or (materials and unit in {CENTIMETRE, CENTIMETRE / 10})
    if unit != YARD and not metric:
        return None
    small = metric and unit != METRE
    if small and (kind_at(tokens, after + 1) == "times" or word_at(tokens, after + 1) in WIDE):
        return None
    if small and word_at(tokens, at - 1) == "on" and word_at(tokens, at - 2) == "count":
        return None
    after = _past_other_unit(tokens, after + 1)
    return Phrase("amount", at, _past_width(tokens, after), 1, (number * unit,))


def _past_width(tokens: Sequence[Token], at: int) -> int:
    """Go past the width of the cloth that an amount may be followed by: "x 110 cm wide"."""
    if kind_at(tokens, at) == "times" and (side := side_at(tokens, at + 1)) and side.unit:
        return side.after
    if mark_at(tokens, at, "-") and word_at(tokens, at + 1) in {"lengths", "length", "cut", "cuts"}:
        return at + 2
    return at


def _fat(tokens: Sequence[Token], at: int, after: int) -> Phrase | None:
    """Read "8 fat quarters", "2 FQs"."""
    count, words = tokens[at].whole or int(not tokens[at].value), word_at(tokens, after)
    if words in {"fat", "assorted"} and word_at(tokens, after + 1) == "fat":
        after, words = after + 1, "fat"
    parts = YARDS_OF_FAT.get(word_at(tokens, after + 1), 0) if words == "fat" else 0
    parts = parts or YARDS_OF_FAT.get(words.removeprefix("fat-"), 0) * words.startswith("fat-")
    end = after + 2 if words == "fat" else after + 1
    if words in {"fq", "fqs"}:
        parts = 4
    if not count or not parts:
        return None
    name = "fat quarters" if parts == 4 else "fat eighths"
    return Phrase("amount", at, end, count, (YARD / parts * count,), name)


def _half_yards(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "a yard and a half", "six half-yards", "a half-yard cut"."""
    number, after = Fraction(1), at + 1
    if kind_at(tokens, at) == "number":
        number = tokens[at].value
    elif word_at(tokens, at) not in {"a", "one"}:
        return None
    word = word_at(tokens, after).removesuffix("s")
    part = PARTS.get(word.removesuffix("-yard"), 0) if word.endswith("-yard") else 0
    if part:
        end = after + 1 + (word_at(tokens, after + 1) in {"cut", "cuts", "piece", "pieces"})
        count = int(number) if number.denominator == 1 else 1
        return Phrase("amount", at, end, count, (number * YARD / part,))
    plain = word in {"yard", "yd", "metre", "meter"} and word_at(tokens, at) in {"a", "one"}
    if not plain:
        return None
    length = METRE if word.startswith("m") else YARD
    said = [word_at(tokens, after + n) for n in range(1, 4)]
    more = PARTS.get(said[2], 0) if said[:2] == ["and", "a"] else 0
    if more:
        return Phrase("amount", at, after + 4, 1, (length * (1 + Fraction(1, more)),))
    return Phrase("amount", at, after + 1, 1, (length,))


def _fat_listed(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "Fat quarters: 8"."""
    after = at + 1 if word_at(tokens, at) in {"fqs", "fq"} else at + 2
    parts = 4 if after == at + 1 else YARDS_OF_FAT.get(word_at(tokens, at + 1), 0)
    fat = word_at(tokens, at) in {"fat", "fqs", "fq"}
    if not (fat and parts and mark_at(tokens, after, ":-=")):
        return None
    count = tokens[after + 1].whole if kind_at(tokens, after + 1) == "number" else None
    if not count or kind_at(tokens, after + 2) not in {"", "mark"}:
        return None
    name = "fat quarters" if parts == 4 else "fat eighths"
    return Phrase("amount", at, after + 2, count, (YARD / parts * count,), name)


def _part_of_yard(tokens: Sequence[Token], at: int) -> Phrase | None:
    """Read "half a yard", "a quarter yard", "three quarters of a yard"."""
    if half := _half_yards(tokens, at):
        return half
    part_at = skip(tokens, at, {"a", "an"})
    part = PARTS.get(word_at(tokens, part_at))
    after = skip(tokens, part_at + 1, {"of", "a"})
    unit = word_at(tokens, after)
    lengths = {"yard": YARD, "yd": YARD, "metre": METRE, "meter": METRE}
    if part is None or unit not in lengths:
        return None
    return Phrase("amount", at, after + 1, 1, (lengths[unit] / part,))


__all__ = ["INCH", "amount_at", "count_at", "side_at", "size_at"]
