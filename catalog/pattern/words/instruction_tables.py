"""Tables: rows told apart by bars, tabs or blanks, put into the order of a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from catalog.pattern.words.instruction_lines import InstructionLine, line_of
from catalog.pattern.words.phrases.cloth_phrases import head_at, tidy_name
from catalog.pattern.words.phrases.trade_words import COLUMN_NAMES, SHAPES
from catalog.pattern.words.phrases.word_tokens import CENTIMETRE, INCH, UNITS, Token, tokens_of

Cell = tuple[int, int]
"""Start and end of a cell's text."""
_BARS: Final = re.compile(r"\|")
_TABS: Final = re.compile(r"\t+")
_COMMAS: Final = re.compile(r"\s*[,;]\s*")
_BLANKS: Final = re.compile(r" {2,}|\t+")
_RULE: Final = re.compile(r"[\s|:+=_-]*")
SMALL_UNITS: Final = frozenset({INCH, CENTIMETRE, CENTIMETRE / 10})
MIN_NAMED_COLUMNS: Final = 2
"""Columns whose heads must be known words before blanks are taken for the lines of a table."""


def with_rows_read(text: str, lines: Sequence[InstructionLine]) -> list[InstructionLine]:
    """Return lines with each row of a table as a sentence: cloth, count, size, what is done.

    The cells of a row keep their places in the text; only their order follows the head.
    """
    return list(_rows(text, lines))


def _rows(text: str, lines: Sequence[InstructionLine]) -> Iterator[InstructionLine]:
    head: list[tuple[str, Token | None]] = []
    columns: Sequence[Cell] = ()
    commas = False
    for line in _unjoined(text, lines):
        cells = _cells(text, line, commas=commas)
        if not commas and len(cells) < 3 and not head:
            listed = _cells(text, line, commas=True)
            commas = bool(_head(text, listed)) and all(kind for kind, _ in _head(text, listed))
            cells = listed if commas else cells
        if line.blank_before:
            head = head if len(cells) > 1 and not _head(text, cells) else []
        if _RULE.fullmatch(text, line.start, line.end):
            continue
        if named := _head(text, cells):
            head = named
        elif counted := _counted_by_column(text, line, cells, columns):
            yield from counted
        elif not head and len(cells) > 2 and _names_columns(text, line, cells):
            columns = cells
        elif head and len(cells) > 1:
            yield _row(text, line, cells, head)
        elif len(cells) > 1 and _has_lines(text, line):
            yield _bare_row(text, line, cells)
        else:
            yield line


def _names_columns(text: str, line: InstructionLine, cells: Sequence[Cell]) -> bool:
    """Tell whether a row names a cloth, or a size, over each column."""
    if not re.search(r"[0-9]", text[line.start : line.end]):
        return True
    sized = [any(one.kind in {"unit", "times"} for one in tokens_of(text, *cell)) for cell in cells]
    return not sized[0] and all(sized[1:])


def _counted_by_column(
    text: str, line: InstructionLine, cells: Sequence[Cell], columns: Sequence[Cell]
) -> list[InstructionLine]:
    """Return a line for each cloth of a table that has a column for each, a row for each size."""
    counts = [tokens_of(text, *cell) for cell in cells[1:]]
    if len(cells) != len(columns) or not any(counts) or len(columns) < 2:
        return []
    if any(len(cell) > 1 or (cell and cell[0].whole is None and cell[0].kind != "mark")
           for cell in counts):  # fmt: skip
        return []
    first, rows = tokens_of(text, *cells[0]), []
    by_size = any(token.kind == "number" for token in tokens_of(text, *columns[-1]))
    for column, count in zip(columns[1:], counts, strict=True):
        if count and count[0].whole:
            other = tokens_of(text, *column)
            name, size = (first, other) if by_size else (other, first)
            tokens = (*name, _mark(":", column[1]), *count, *size)
            rows.append(replace(line, tokens=tokens, row=True))
    return rows


def _unjoined(text: str, lines: Sequence[InstructionLine]) -> Iterator[InstructionLine]:
    """Part lines again that were joined and are rows."""
    for line in lines:
        pieces = [(m.start(), m.end()) for m in re.finditer(r"[^\n]+", text[line.start : line.end])]
        rows = [(line.start + a, line.start + b) for a, b in pieces]
        if len(rows) > 1 and sum(bool(re.search(r"[|\t]", text[a:b])) for a, b in rows) > 1:
            for number, (a, b) in enumerate(rows):
                yield line_of(text, a, b, blank_before=line.blank_before and not number)
        else:
            yield line


def _has_lines(text: str, line: InstructionLine) -> bool:
    return bool(re.search(r"[|\t]", text[line.start : line.end].strip()))


def _cells(text: str, line: InstructionLine, *, commas: bool) -> list[Cell]:
    """Return the cells of a line."""
    row = text[line.start : line.end]
    between = _BARS if "|" in row else _TABS if "\t" in row.strip() else _BLANKS
    between = _COMMAS if commas and between is _BLANKS else between
    cells, at = [], line.start
    for gap in between.finditer(text, line.start, line.end):
        cells.append((at, gap.start()))
        at = gap.end()
    cells.append((at, line.end))
    if between is not _TABS or not text[cells[0][0] : cells[0][1]].strip():
        edge = [number for number, (a, b) in enumerate(cells) if text[a:b].strip()]
        cells = cells[edge[0] : edge[-1] + 1] if edge else []
    return cells


def _head(text: str, cells: Sequence[Cell]) -> list[tuple[str, Token | None]]:
    """Return what each column holds, and the unit that its head names; nothing for other rows."""
    named: list[tuple[str, Token | None]] = []
    heads: list[str] = []
    for start, end in cells:
        tokens = tokens_of(text, start, end)
        if any(token.kind == "number" for token in tokens) or len(tokens) > 8:
            return []
        kinds = [COLUMN_NAMES[token.text] for token in tokens if token.text in COLUMN_NAMES]
        if any(token.text == "#" for token in tokens):
            kinds.append("count")
        kind = "count" if "count" in kinds else (kinds[0] if kinds else "")
        kind = "then" if "then" in kinds else "yards" if "yards" in kinds else kind
        after_strips = any(two == "strips" for two in heads)
        pieces = any(token.text == "pieces" for token in tokens)
        kind = "then" if kind == "count" and pieces and after_strips else kind
        heads += [token.text for token in tokens]
        units = [token for token in tokens if token.text in UNITS and token.text != "m"]
        unit = next((one for one in units if UNITS[one.text] in SMALL_UNITS), None)
        named.append((kind or ("text" if unit else ""), unit))
    known = [kind for kind, _ in named if kind]
    return named if len(known) >= MIN_NAMED_COLUMNS and len(cells) > 2 else []


def _row(
    text: str,
    line: InstructionLine,
    cells: Sequence[Cell],
    head: Sequence[tuple[str, Token | None]],
) -> InstructionLine:
    found: dict[str, list[Token]] = {}
    label = ""
    whole = {"count", "text"} <= {kind for kind, _ in head} or "width" in {kind for kind, _ in head}
    for (start, end), (kind, unit) in zip(cells, head, strict=False):
        tokens = tokens_of(text, start, end)
        if not tokens or (kind == "how" and whole and not _cuts_diagonally(tokens)):
            continue
        if kind == "part":
            label = text[start:end].strip() if len(text[start:end].strip()) <= 2 else label
            measured = any(token.kind == "unit" for token in tokens)
            shape = next((token for token in tokens if token.text in SHAPES), None)
            if measured or shape:
                found.setdefault("text", []).extend(tokens if measured or not shape else [shape])
            continue
        between = [_mark(",", start)] if found.get(kind) or kind == "then" else []
        then = [Token("word", "then", start, start)] if kind == "then" else []
        place = "text" if kind in {"then", "how", ""} else kind
        found.setdefault(place, []).extend([*between, *then, *_with_unit(tokens, kind, unit)])
    cloth = _cloth_of(found.get("cloth", []))
    if cloth:
        found.pop("cloth")
    ordered = tuple(_in_order(found, line))
    return replace(line, tokens=ordered, label=label, row=True, cloth=cloth)


def _cloth_of(tokens: Sequence[Token]) -> str:
    """Return the name in a cell for cloth; nothing where it says more."""
    if not tokens or any(token.kind not in {"word", "mark", "number"} for token in tokens):
        return ""
    if (head := head_at(tokens, 0)) and head[2] >= len(tokens):
        return head[0] or head[1]
    return tidy_name([token.text for token in tokens if token.kind != "mark"])


def _cuts_diagonally(tokens: Sequence[Token]) -> bool:
    """Tell whether a cell that says how it is cut says no more than across the diagonal."""
    numbers = any(token.kind == "number" for token in tokens)
    return not numbers and any(token.text.startswith("diagonal") for token in tokens)


def _in_order(found: dict[str, list[Token]], line: InstructionLine) -> Iterator[Token]:
    cloth = found.get("cloth", [])
    yield from cloth
    amounts = [*found.get("yards", []), *found.get("metres", [])]
    if cloth and amounts:
        yield _mark(",", cloth[-1].end)
    yield from amounts
    if cloth or amounts:
        yield _mark(":", (amounts or cloth)[-1].end)
    yield from found.get("count", [])
    width, length = found.get("width", []), found.get("length", [])
    yield from width
    if width and length:
        yield Token("times", "x", width[-1].end, width[-1].end)
    yield from length
    text = found.get("text", [])
    if text and (width or length):
        yield _mark(",", text[0].start)
    yield from text
    if not (cloth or amounts or text or width):
        yield from (token for token in line.tokens if token not in found.get("count", []))


def _with_unit(tokens: list[Token], kind: str, unit: Token | None) -> list[Token]:
    """Return a cell's tokens with the unit that the column's head names."""
    if kind == "yards" and len(tokens) == 2 and tokens[1].value == CENTIMETRE:
        metres = replace(tokens[0], value=tokens[0].value / 100)
        return [metres, replace(tokens[1], text="m", value=UNITS["m"])]
    if kind in {"yards", "metres"} and len(tokens) == 1:
        own = ("yards", UNITS["yards"]) if kind == "yards" else ("m", UNITS["m"])
        return [*tokens, Token("unit", own[0], tokens[0].end, tokens[0].end, own[1])]
    if unit is None or kind == "count" or any(token.kind == "unit" for token in tokens):
        return tokens
    numbers = [n for n, token in enumerate(tokens) if token.kind == "number"]
    if not numbers:
        return tokens
    at = numbers[-1]
    said = Token("unit", unit.text, tokens[at].end, tokens[at].end, UNITS[unit.text])
    return [*tokens[: at + 1], said, *tokens[at + 1 :]]


def _bare_row(text: str, line: InstructionLine, cells: Sequence[Cell]) -> InstructionLine:
    """Return a row of a table without a head: its first cell names the cloth if it is a name."""
    tokens: list[Token] = []
    for number, (start, end) in enumerate(cells):
        cell = tokens_of(text, start, end)
        tokens += cell
        if number == 0 and cell and all(token.kind == "word" for token in cell):
            tokens.append(_mark(":", end))
        elif cell and number + 1 < len(cells) and cell[-1].kind != "number":
            tokens.append(_mark(",", end))
    return replace(line, tokens=tuple(tokens), row=True)


def _mark(sign: str, at: int) -> Token:
    return Token("mark", sign, at, at)
