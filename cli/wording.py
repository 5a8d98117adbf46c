"""What a count says in words: results in, lines out."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from catalog.lengths import show_length
from catalog.phrases import MAX_NAMED, count_of, listed

if TYPE_CHECKING:
    from catalog.count_results import Bundle, Count, PhotoResult
    from catalog.models import LightQuestion, Matching, SquareSet, Swatch, Tally, TallyLine

TALLY_COLUMNS = ("what for", "piece", "size", "needed", "on hand", "short", "left over")
MAX_LISTED = 24
"""Of what a command is asked for itself: some four lines of a screen."""
ODD_SIZE = "odd size"
"""Flag of a square that measures otherwise than the others (see `catalog.finding`)."""
PLAIN_TO_SEE = 5.0
"""CIEDE2000 from which a colour that is off is plainly so."""
FAR_APART = "far apart"
"""Flag of a set whose squares differ by more than the tolerance (see `catalog.matching`)."""
COULD_CHANGE = "could change"
"""Flag of a set that measuring again might pair otherwise (see `catalog.matching.stability`)."""
_FILES = {
    "found.jpg": (1, "look here first: the squares outlined, each set under a number"),
    "values.jpg": (2, "the same in grey: how light or dark each square is"),
    "checked.jpg": (1, "look here first: what to put right, and how"),
    "report.html": (1, "everything on one page, to look at and to print"),
    "cards.pdf": (2, "cards to cut out and clip on: each set, each place on the wall"),
    "booklet.pdf": (1, "the pattern as pages to sew from, step by step"),
    "sets.csv": (2, "which squares go together, the darkest first"),
    "tally.csv": (3, "the table above, with the squares that serve each need"),
    "wall.jpg": (2, "the quilt to scale, your fabrics in their places"),
    "wall.csv": (2, "the sewing list: each block's place, sides, turn and pressing"),
    "cutting.csv": (3, "what to cut, from what, to which size"),
    "cutting-plan.jpg": (3, "how each cloth is cut up, drawn to scale"),
    "buying.csv": (3, "what to buy, and its strips"),
    "wall_check.csv": (4, "every place of the wall: what hangs there, and how sure that is"),
    "units.csv": (4, "every unit: what it measures, and what it should"),
    "swatches.csv": (4, "every square with its colour, family and fabric"),
}
"""Place in the list, and what the file holds."""


def bundle_lines(bundle: Bundle) -> list[str]:
    """What the photos show."""
    from catalog.bundle.fabric_doubts import fabric_doubts

    lines = [_photo_line(result) for result in bundle.photos]
    fabrics = len({swatch.fabric for swatch in bundle.swatches})
    lines.append(
        f"{count_of(len(bundle.swatches), 'square')} of {count_of(fabrics, 'fabric')} by their "
        f"looks, in {families(bundle.swatches)}."
    )
    return [
        *lines,
        *fabric_doubts(bundle.swatches),
        *_doubt_lines(bundle.swatches),
        *_light_lines(bundle),
    ]


def _photo_line(result: PhotoResult) -> str:
    found = result.found
    line = f"{result.photo.name}: {count_of(len(found.squares), 'square')} found"
    if found.cut_off:
        cut = "1 more is" if found.cut_off == 1 else f"{found.cut_off} more are"
        line += f"; {cut} cut off by the edge of the picture and not counted"
    from catalog.bundle.photo_doubts import PHOTO_DOUBTS, photo_doubts

    doubts = [PHOTO_DOUBTS[doubt] for doubt in photo_doubts(found.squares)]
    return f"{'; '.join([line, *doubts])}."


def families(swatches: Iterable[Swatch]) -> str:
    """Families with their numbers, largest first."""
    counted = Counter(swatch.family for swatch in swatches)
    named = sorted(counted.items(), key=lambda item: (-item[1], item[0]))
    each = listed([f"{name} ({number:,})" for name, number in named], MAX_LISTED)
    return f"{count_of(len(named), 'colour family', 'colour families')}: {each}"


def _doubt_lines(swatches: Sequence[Swatch]) -> list[str]:
    """Squares that the user should look at, by what is in doubt."""
    number, lines = doubts_of(swatches)
    head = f"Look again at {count_of(number, 'square')}, marked ? in the picture:"
    return [head, *lines] if number else []


def doubts_of(swatches: Sequence[Swatch]) -> tuple[int, list[str]]:
    """How many squares are in doubt, and lines that name them by what is in doubt."""
    from catalog.report.tables.csv_tables import look_again

    doubts: dict[str, list[Swatch]] = {}
    for swatch in swatches:
        for flag in look_again(swatch):
            doubts.setdefault(flag, []).append(swatch)
    lines = []
    for flag, those in doubts.items():
        names = [_with_size(one) if flag == ODD_SIZE else one.label for one in those]
        lines.append(f"  {flag}: {listed(names)}")
    return len({one.label for those in doubts.values() for one in those}), lines


def _with_size(swatch: Swatch) -> str:
    """A square's label with what it measures, to a mark of the ruler."""
    square = swatch.square
    sides = [show_length(Fraction(side)) for side in (square.width_in, square.height_in)]
    return f"{swatch.label} ({' x '.join(dict.fromkeys(sides))})"


def _light_lines(bundle: Bundle) -> list[str]:
    lights = {result.photo.name: result.light for result in bundle.photos if result.light}
    several = len(lights) > 1
    return [
        (f"{name}: " if several else "") + f"Colours are judged by {light.evidence}. "
        f"All of them may be off by about {light.expected_error:.1f} (1 is barely seen, "
        f"{PLAIN_TO_SEE:.0f} is plain to see); differences between squares by less."
        f"{_less_sure([one for one in bundle.swatches if one.photo == name])}"
        f"{_question(light.question)}"
        for name, light in lights.items()
    ]


def _less_sure(swatches: Sequence[Swatch]) -> str:
    """Name the squares of a photo whose own colour may be plainly off."""
    those = [one for one in swatches if one.own_uncertainty > PLAIN_TO_SEE]
    if not those:
        return ""
    most = max(one.own_uncertainty for one in those)
    are = "is" if len(those) == 1 else "are"
    return (
        f" Less sure {are} {listed([one.label for one in those])}, up to {most:.0f} off: "
        "too bright in the photo to be told, at a shadow's edge, or partly hidden."
    )


def _question(asked: LightQuestion | None) -> str:
    """Ask what would settle how colours are judged."""
    if asked is None:
        return ""
    from catalog.light_questions import LIGHT_QUESTIONS

    found = LIGHT_QUESTIONS[asked]
    return f" {found.words} It would change the colours: count again with {found.options()}."


def set_lines(result: Count, *, where: str = "could change in sets.csv") -> list[str]:
    """How many sets were made, how well they match, and how near that is to the best.

    Those that the photo leaves open are marked as ``where`` says.
    """
    sets = result.sets
    if not sets:
        return ["No sets could be made."]
    counted = result.counting
    loose = sum(FAR_APART in one.flags for one in counted)
    shares = [
        (len(counted) - loose, "match well"),
        (loose, "pass with a step that shows"),
        (len(sets) - len(counted), "too far apart to count"),
    ]
    told = ", ".join(f"{number:,} {how}" for number, how in shares if number)
    first = f"{count_of(len(sets), 'set')} made: {told}."
    return [
        first,
        *_of_one_square(counted),
        *_near_best(result.matching),
        *_could_change(sets, where),
    ]


def _of_one_square(sets: Sequence[SquareSet]) -> list[str]:
    """Say where the pieces of a set come from one square, and how they wouldn't."""
    alone = sum(len(set(one.swatches)) == 1 for one in sets)
    if not alone:
        return []
    are = "is" if alone == 1 else "are"
    return [
        f"{count_of(alone, 'set')} {are} of pieces of one square; "
        "--same-fabric avoid pairs different squares as far as it can."
    ]


def _could_change(sets: Sequence[SquareSet], where: str) -> list[str]:
    """Which sets the photo's doubt leaves open, and what to do about it."""
    numbers = [str(one.number) for one in sets if COULD_CHANGE in one.flags]
    if not numbers:
        return []
    named = ": " + ", ".join(numbers) if len(numbers) <= MAX_NAMED else ""
    word = "is" if len(numbers) == 1 else "are"
    return [
        f"{count_of(len(numbers), 'set')} {word} a close call that the photo can't settle{named} "
        f"({where}). Lay those squares side by side in daylight."
    ]


def _near_best(matching: Matching) -> list[str]:
    """For sets of 3 and 4, how near the choice is to the best there can be."""
    over = matching.total - matching.bound
    if matching.total <= 0 or over <= 0.005 * matching.total:
        return []
    return [
        f"Another choice of sets could be closer by at most {100 * over / matching.total:.0f} % "
        "in all; whether there is one takes too long to find out."
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


def tally_lines(tally: Tally, *, asked: bool, wanting: Sequence[str] = ()) -> list[str]:
    """Whether it is enough where a number was asked for, and what to know of each need.

    What finishes the quilt and wants squares beyond those left over is named.
    """
    short = [line for line in tally.lines if line.short]
    enough = "Enough."
    if wanting:
        enough = f"Enough for the blocks, but not for {listed([f'the {one}' for one in wanting])}."
    told = ["Not enough."] if short else [enough] if asked else []
    lines = [*told, *(_note(line) for line in short)]
    lines.extend(_note(line) for line in tally.lines if line.note and not line.short)
    if tally.unused:
        few = len(tally.unused) <= MAX_NAMED
        named = ": " + ", ".join(tally.unused) if few else ""
        lines.append(f"{count_of(len(tally.unused), 'square')} left over{named}.")
    return lines


def _note(line: TallyLine) -> str:
    stop = ", " if line.need.source == "yardage" else ": "
    return f"  {line.need.name}{stop}{line.note or f'{line.short} short'}."


def file_lines(names: Iterable[str]) -> list[str]:
    """The files written, what is to be looked at first on top."""
    kinds = {name: re.sub(r"-[0-9]+(?=\.jpg$)", "", name) for name in names}
    told = sorted(((_FILES[kind], name) for name, kind in kinds.items()), key=_place)
    width = max(len(name) for _, name in told)
    return [f"  {name.ljust(width)}  {what}" for (_, what), name in told]


def _place(told: tuple[tuple[int, str], str]) -> int:
    return told[0][0]
