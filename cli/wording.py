"""What a count says in words: results in, lines out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.models import Matching, Swatch, Tally, TallyLine
    from catalog.pipeline import Bundle, Count, PhotoResult

TALLY_COLUMNS = ("what for", "piece", "size", "needed", "on hand", "short", "left over")
MOST_NAMED = 8
"""Squares or sets named one by one; more are only counted."""


def bundle_lines(bundle: Bundle) -> list[str]:
    """What the photos show."""
    lines = [_photo_line(result) for result in bundle.photos]
    fabrics = len({swatch.fabric for swatch in bundle.swatches})
    lines.append(
        f"{count_of(len(bundle.swatches), 'square')}, "
        f"by their looks {count_of(fabrics, 'fabric')}, in {families(bundle.swatches)}."
    )
    doubtful = [swatch for swatch in bundle.swatches if swatch.square.flags or swatch.flags]
    if doubtful:
        lines.append(f"Look again at {_doubts(doubtful)}.")
    lines.extend(_light_lines(bundle))
    return lines


def _photo_line(result: PhotoResult) -> str:
    found = result.found
    line = f"{result.photo.name}: {count_of(len(found.squares), 'square')} found"
    if found.cut_off:
        cut = "1 more is" if found.cut_off == 1 else f"{found.cut_off} more are"
        line += f"; {cut} cut off by the edge of the picture and not counted"
    return line + "."


def families(swatches: Iterable[Swatch]) -> str:
    """Families with their numbers, largest first."""
    counted = Counter(swatch.family for swatch in swatches)
    named = sorted(counted.items(), key=lambda item: (-item[1], item[0]))
    listed = ", ".join(f"{name} {number}" for name, number in named)
    return f"{count_of(len(named), 'colour family', 'colour families')} ({listed})"


def _doubts(swatches: Sequence[Swatch]) -> str:
    named = [
        f"{swatch.label} ({', '.join(dict.fromkeys((*swatch.square.flags, *swatch.flags)))})"
        for swatch in swatches[:MOST_NAMED]
    ]
    more = len(swatches) - len(named)
    return ", ".join(named) + (f" and {more} more (see swatches.csv)" if more else "")


def _light_lines(bundle: Bundle) -> list[str]:
    lights = {result.photo.name: result.light for result in bundle.photos if result.light}
    several = len(lights) > 1
    return [
        (f"{name}: " if several else "") + f"Colours are judged by {light.evidence}; "
        f"expect them to be off by about {light.expected_error:.1f} (CIEDE2000; "
        "differences between squares by less)."
        for name, light in lights.items()
    ]


def set_lines(result: Count) -> list[str]:
    """What sets were made."""
    sets = result.sets
    if not sets:
        return ["No sets could be made."]
    worst = max(sets, key=lambda one: (one.difference, -one.number))
    line = (
        f"{count_of(len(sets), 'set')} of squares that go together; the least alike is set "
        f"{worst.number} ({' and '.join(worst.swatches)}), which differ by {worst.difference:.0f}."
    )
    return [line, *_near_best(result.matching)]


def _near_best(matching: Matching) -> list[str]:
    """For sets of 3 and 4, how near the choice is to the best there can be."""
    over = matching.total - matching.bound
    if matching.total <= 0 or over <= 0.005 * matching.total:
        return []
    return [
        f"Another choice could be at most {100 * over / matching.total:.0f} % closer in all: the "
        "best one is too hard to prove."
    ]


def tally_rows(result: Count) -> list[tuple[str, ...]]:
    """Rows for `TALLY_COLUMNS`."""
    return [_tally_row(line) for line in result.tally.lines]


def _tally_row(line: TallyLine) -> tuple[str, ...]:
    from catalog.lengths import show_length

    need = line.need
    size = show_length(need.size, step=None) if need.size else ""
    bought = need.source == "yardage"
    numbers = ("buy", "", "") if bought else (line.on_hand, line.short, line.left_over)
    return (need.name, need.piece, size, str(need.count), *(str(number) for number in numbers))


def verdict_lines(tally: Tally) -> list[str]:
    """Whether it is enough, and what to know of each need."""
    short = [line for line in tally.lines if line.short]
    verdict = "Enough." if not short else "Not enough:"
    lines = [verdict, *(f"  {line.need.name}: {line.note}" for line in short if line.note)]
    lines.extend(
        f"{line.need.name}: {line.note}." for line in tally.lines if line.note and not line.short
    )
    if tally.unused:
        few = len(tally.unused) <= MOST_NAMED
        named = ": " + ", ".join(tally.unused) if few else ""
        lines.append(f"{count_of(len(tally.unused), 'square')} left over{named}.")
    return lines


def count_of(number: int, noun: str, plural: str | None = None) -> str:
    """Number and noun."""
    return f"{number:,} {noun if number == 1 else plural or noun + 's'}"
