"""Text for a font that has not every letter, in the order in which its letters stand on paper."""

from __future__ import annotations

import unicodedata
from collections.abc import Container
from functools import cache
from typing import Final

WANTING: Final = "\u25af"
"""Stands for a letter that the font lacks, so that nobody takes the name for whole."""
_MODIFIERS: Final = range(0x1F3FB, 0x1F400)
"""Tones of skin, which say nothing on their own."""
_STEERING: Final = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})
"""Signs that turn text round by force; a name has no need of them."""
_PAIRS: Final = ("()", "[]", "{}", "<>", "\u00ab\u00bb", "\u2039\u203a")
_MIRRORED: Final = {a: b for one, two in _PAIRS for a, b in ((one, two), (two, one))}
_LAM: Final = "\u0644"
"""The letter that must be written as one with an alef after it."""
_FORMS: Final = ("isolated", "final", "initial", "medial")
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL"})


def laid_out(text: str, font: Container[int]) -> str:
    """Return text as it is to be drawn from left to right.

    Parameters
    ----------
    text : str
        As a person wrote it.
    font : container of int
        Code points that the font has.

    Returns
    -------
    str
        Signs are written in words, other letters that the font lacks as `WANTING`; Arabic is
        joined, and what runs from right to left is turned round (Unicode standard annex 9).
    """
    shown = "".join(_had(sign, font) for sign in _plain(text))
    if any(unicodedata.bidirectional(sign) in _RIGHT_TO_LEFT for sign in shown):
        shown = _turned(_joined(shown, font))
    return "".join(sign for sign in shown if unicodedata.category(sign) != "Cf")


def _plain(text: str) -> str:
    """Compose accents, and take line breaks and control signs for blanks."""
    return "".join(
        " " if unicodedata.category(sign) in {"Cc", "Zl", "Zp"} else sign
        for sign in unicodedata.normalize("NFC", text)
        if unicodedata.bidirectional(sign) not in _STEERING
    )


def _had(sign: str, font: Container[int]) -> str:
    """Return a sign, or what the font has in its stead."""
    kind = unicodedata.category(sign)
    if ord(sign) in font or kind == "Cf" or sign == " ":
        return sign
    if kind == "Mn" or ord(sign) in _MODIFIERS:
        return ""
    plain = unicodedata.normalize("NFKD", sign)
    if all(ord(one) in font for one in plain):
        return plain
    name = unicodedata.name(sign, "")
    return f"({name.lower()})" if kind == "So" and name else WANTING


def _turned(text: str) -> str:
    """Return text in the order in which it stands on paper, brackets turned with it."""
    from fpdf.bidi import BidiParagraph

    shown: list[str] = []
    marks: list[str] = []
    for one in BidiParagraph(text).get_reordered_characters():
        backwards = one.embedding_level % 2 == 1
        if backwards and unicodedata.category(one.character) == "Mn":
            marks.insert(0, one.character)  # these came before their letter when it was turned
            continue
        shown += [_MIRRORED.get(one.character, one.character) if backwards else one.character]
        shown += marks
        marks = []
    return "".join((*shown, *marks))


def _joined(text: str, font: Container[int]) -> str:
    """Return Arabic letters in the forms that they take between their neighbours."""
    bones = _bones(text)
    forms = []
    for number, (bone, marks) in enumerate(bones):
        own = _shapes().get(bone, {})
        before = bones[number - 1][0] if number else ""
        after = bones[number + 1][0] if number + 1 < len(bones) else ""
        joins_before = "final" in own and "initial" in _shapes().get(before, {})
        joins_after = "initial" in own and "final" in _shapes().get(after, {})
        form = own.get(_FORMS[joins_before + 2 * joins_after], bone)
        forms.append((form if all(ord(one) in font for one in form) else bone) + marks)
    return "".join(forms)


def _bones(text: str) -> list[tuple[str, str]]:
    """Return the letters with the marks on them; two that are written as one are one."""
    bones: list[tuple[str, str]] = []
    for sign in text:
        last, marks = bones[-1] if bones else ("", "")
        if bones and unicodedata.category(sign) == "Mn":
            bones[-1] = (last, marks + sign)
        elif last + sign in _shapes() and bones:
            bones[-1] = (last + sign, marks)
        else:
            bones.append((sign, ""))
    return bones


@cache
def _shapes() -> dict[str, dict[str, str]]:
    """Return the forms of Arabic letters, from the decompositions of their presentation forms."""
    found: dict[str, dict[str, str]] = {}
    for point in (*range(0xFB50, 0xFBB2), *range(0xFBD3, 0xFC00), *range(0xFE80, 0xFEFD)):
        kind, *letters = unicodedata.decomposition(chr(point)).split() or [""]
        whole = "".join(chr(int(one, 16)) for one in letters)
        if kind.strip("<>") in _FORMS and (len(whole) == 1 or whole[0] == _LAM):
            found.setdefault(whole, {})[kind.strip("<>")] = chr(point)
    return found
