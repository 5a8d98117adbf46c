"""The Python face: photographs or kept bundles in, pandas data frames out.

``import catalog`` gives `count`, `open_catalogue` and what they return. Columns are those of the
CSV files; lengths are in inches, colours CIELAB D65, differences CIEDE2000; what is unknown is
``pandas.NA``. Each frame's docstring tells its columns: ``help(catalog.CountFrames.swatches)``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Self, TypeVar

from catalog import pipeline, planning, rule_limits
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.bundle_count import count_kept, rules_of
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.match_rules import match_rules
from catalog.catalogue.patterns.named_patterns import find_pattern
from catalog.catalogue.store.bundle_list import BundleLine
from catalog.count_request import NO_HINTS, CountRequest, needs_for
from catalog.count_results import Count
from catalog.errors import UsageError
from catalog.length_text import parse_length
from catalog.models import ColourTerms, LightHints, MatchBy, MatchRules, SameFabric, SeenFrom
from catalog.planning import Planned
from catalog.report.tables.columns import Column, columns_in_words, frame_of
from catalog.report.tables.csv_tables import SWATCHES, TALLY, set_columns
from catalog.report.tables.plan_csv import BUYING, CUTTING, WALL
from catalog.rule_limits import Limits
from catalog.system.progress import unreported

if TYPE_CHECKING:
    import pandas as pd

    from catalog.cutting.plans import Arrangement

_Method = TypeVar("_Method", bound=Callable[..., Any])

BUNDLES: Final[tuple[Column[BundleLine], ...]] = (
    Column("bundle", lambda line: line.name, "its name"),
    Column("side_in", lambda line: float(line.side), "side of its squares", "number", "in", 4),
    Column("photos", lambda line: line.photos, "without those taken out", "whole", "photos"),
    Column("squares", lambda line: line.squares, "in the bundle", "whole", "squares"),
    Column("free", lambda line: line.free, "that a set may use", "whole", "squares"),
    Column("projects", lambda line: line.projects, "that squares are set aside for", "list"),
    Column("added_at", lambda line: line.added_at, "when it was first kept, ISO 8601, UTC"),
)
"""Of `CatalogueFrames.bundles`."""


def _telling(columns: Sequence[Column[Any]]) -> Callable[[_Method], _Method]:
    """Let a function's docstring tell the columns of the frame that it returns."""

    def told(method: _Method) -> _Method:
        method.__doc__ = f"{method.__doc__}\n\nColumns\n-------\n{columns_in_words(columns)}"
        return method

    return told


@dataclass(frozen=True, eq=False)
class CountFrames:
    """A bundle counted, as data frames."""

    result: Count
    """As the stages gave it."""
    planned: Planned | None
    """The quilt; None without a pattern that tells how it is built, or without one set for it."""

    @property
    def enough(self) -> bool:
        """Whether the bundle covers all that must come from it."""
        return self.result.tally.enough

    @property
    @_telling(SWATCHES)
    def swatches(self) -> pd.DataFrame:
        """Every square, a row each, in reading order."""
        return frame_of(SWATCHES, self.result.bundle.swatches)

    @property
    @_telling(set_columns(()))
    def sets(self) -> pd.DataFrame:
        """The squares that go together, a row for each set, its darkest square first."""
        return frame_of(set_columns(self.result.sets), self.result.sets)

    @property
    @_telling(TALLY)
    def tally(self) -> pd.DataFrame:
        """What the pattern asks for against the bundle, a row for each need."""
        return frame_of(TALLY, self.result.tally.lines)

    @property
    @_telling(CUTTING)
    def cutting(self) -> pd.DataFrame:
        """What is cut, a row for each kind of piece; none without a plan."""
        adapted = self.planned.adapted if self.planned else None
        return frame_of(CUTTING, adapted.cuts if adapted else ())

    @property
    @_telling(BUYING)
    def buying(self) -> pd.DataFrame:
        """What is bought, a row for each cloth; none without a plan."""
        adapted = self.planned.adapted if self.planned else None
        return frame_of(BUYING, adapted.buys if adapted else ())

    @property
    @_telling(WALL)
    def wall(self) -> pd.DataFrame:
        """What hangs where, a row for each block in the order of sewing; none without a plan."""
        return frame_of(WALL, self.planned.wall.blocks if self.planned else ())


def _refuse_beyond(what: str, number: float | Fraction | None, limits: Limits) -> None:
    if number is not None and not limits.hold(float(number)):
        raise UsageError(f"{what} {float(number):g} can't be meant", f"give a number from {limits}")


def _request(
    rules: MatchRules,
    side: Fraction,
    pattern: str | Path | None,
    seam: str | float | Fraction | None,
    arrangement: Arrangement | None,
    catalogue: Path | None = None,
) -> CountRequest:
    """Check what is asked before any photo is looked at; a pattern may be one that is kept."""
    _refuse_beyond("a square of", side, rule_limits.SIDE)
    sewn = None if seam is None else parse_length(seam)
    _refuse_beyond("a seam of", sewn, rule_limits.SEAM)
    if pattern is not None and (rules.sets is not None or rules.size != MatchRules.size):
        raise UsageError("sets and pattern both say what sets to make", "leave one of them out")
    found = None if pattern is None else find_pattern(str(pattern), catalogue)
    needs = needs_for(found, rules, side, sewn)
    return CountRequest(side, rules, needs, found, sewn, arrangement=arrangement)


def count(
    photos: str | Path | Sequence[str | Path],
    pattern: str | Path | None = None,
    square: str | float | Fraction = "5",
    *,
    sets: int | None = None,
    set_size: int = 2,
    families: int | None = None,
    same_fabric: SameFabric = "allow",
    tolerance: float | None = None,
    match_by: MatchBy = "colour",
    seen_from: SeenFrom = "wall",
    hints: LightHints = NO_HINTS,
    terms: ColourTerms = "standard",
    seam: str | float | Fraction | None = None,
    arrangement: Arrangement | None = None,
    tell: Callable[[str], None] = unreported,
) -> CountFrames:
    """Count photographs of one bundle, as ``calicount count`` does.

    Parameters
    ----------
    photos : path, or sequence of paths
        Photographs of one bundle; the rows of each go on after those of the one before.
    pattern : str or Path, optional
        A pattern by its name, such as ``pinwheel``, or a pattern file; sets alone if None.
    square : str, float or Fraction
        Side of the squares: ``"2 1/2"``, ``"12.5 cm"``, or a number of inches.
    sets : int, optional
        How many sets are wanted without a pattern; as many as there can be if None.
    set_size : int
        Squares in a set without a pattern: 2, 3 or 4.
    families : int, optional
        How many colour families to make; as the colours fall if None.
    same_fabric : {"allow", "prefer", "avoid"}
        Whether two squares of one fabric may be a set.
    tolerance : float, optional
        CIEDE2000 inside a set up to which it counts as a match; 10 if None.
    match_by : {"colour", "value", "hue"}
        What squares of a set share, where the pattern doesn't say it.
    seen_from : {"wall", "hand"}
        From how far they are looked at: 2 m or 40 cm.
    hints : LightHints
        Which square is white or grey, and what the squares lie on.
    terms : {"standard", "everyday"}
        What colours are called by: terms of the ISCC-NBS system, or everyday words.
    seam : str, float or Fraction, optional
        The seam that is sewn, inches; the pattern's if None.
    arrangement : str, optional
        How the sets hang on the wall, such as ``light-to-dark``; ``rainbow-diagonal`` for a pattern
        if None, and without one they aren't hung then.
    tell : callable
        Told what is being done.

    Returns
    -------
    CountFrames

    Raises
    ------
    CalicountError
        A photo, a pattern or a length can't be used, or no photo shows squares; says what to do.
    """
    paths = [Path(one) for one in ([photos] if isinstance(photos, (str, Path)) else photos)]
    standing = StandingRules(
        set_size, tolerance, same_fabric=same_fabric, match_by=match_by, seen_from=seen_from
    )
    _refuse_beyond("a tolerance of", tolerance, rule_limits.TOLERANCE)
    _refuse_beyond("families, as many as", families, rule_limits.FAMILIES)
    side = parse_length(square)
    asked = _request(match_rules(standing, sets), side, pattern, seam, arrangement)
    bundle = pipeline.catalogue(paths, float(side), families, tell, hints, terms)
    result = pipeline.count(bundle, asked.title, asked.needs, asked.rules, tell)
    return CountFrames(result, planning.plan(result, asked))


class CatalogueFrames:
    """The bundles that a catalogue keeps, to look at: nothing in it is changed.

    To be closed, or used in a ``with`` statement.

    Parameters
    ----------
    path : str or Path, optional
        The catalogue file; where the environment says, or in the user's data folder, if None.

    Raises
    ------
    CatalogueError
        It can't be opened, or is no catalogue.
    """

    def __init__(self, path: str | Path | None = None) -> None:
        self._catalogue = Catalogue(None if path is None else Path(path), reading=True)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._catalogue.close()

    @property
    @_telling(BUNDLES)
    def bundles(self) -> pd.DataFrame:
        """All bundles by name, a row each."""
        return frame_of(BUNDLES, self._catalogue.lines())

    @_telling(SWATCHES)
    def swatches(self, bundle: str) -> pd.DataFrame:
        """The squares of a bundle as they stand after all corrections, a row each.

        Raises
        ------
        CatalogueError
            There is no such bundle.
        """
        return frame_of(SWATCHES, self._catalogue.bundle(bundle).swatches)

    def count(
        self,
        bundle: str,
        pattern: str | Path | None = None,
        *,
        sets: int | None = None,
        seam: str | float | Fraction | None = None,
        arrangement: Arrangement | None = None,
        tell: Callable[[str], None] = unreported,
    ) -> CountFrames:
        """Count what is free of a bundle, by its own rules, locks and bans; see `count`.

        The count isn't kept.

        Raises
        ------
        CalicountError
            There is no such bundle, or the pattern can't be used.
        """
        kept = self._catalogue.bundle(bundle)
        rules = rules_of(kept, match_rules(kept.state.rules, sets))
        if pattern is not None:
            rules = replace(rules, size=MatchRules.size)  # a pattern says it itself
        place = self._catalogue.path
        asked = _request(rules, kept.side, pattern, seam, arrangement, place)
        result = count_kept(kept, asked, tell)
        return CountFrames(result, planning.plan(result, asked))


def open_catalogue(path: str | Path | None = None) -> CatalogueFrames:
    """Open a catalogue of kept bundles, to look at; see `CatalogueFrames`."""
    return CatalogueFrames(path)
