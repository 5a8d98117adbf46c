"""What the catalogue holds of a bundle, as frozen values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final, Literal, get_args

from catalog.bundle.photo_doubts import photo_doubts
from catalog.catalogue.events.standing_rules import StandingRules
from catalog.catalogue.standing.standing_records import Standing
from catalog.models import (
    RIGHT_AS_FOUND,
    BundleRole,
    Corners,
    Ground,
    LightQuestion,
    Square,
    Swatch,
)

if TYPE_CHECKING:
    from catalog.catalogue.events.event_base import Event
    from catalog.cutting.plans import ChosenCloth

Mark = Literal["damaged", "wrong side", "held back", "cut"]
"""Why a square can't go into a set: it is spoilt, the photo shows its back, it is kept for
something else, or it has been cut already."""
MARKS: tuple[Mark, ...] = get_args(Mark)

Stage = Literal["reserved", "sewn"]
"""How far a set of a project is."""
TAKEN_OUT: Final = "its photo was taken out"
"""Why a square is out of the bundle whose photo is."""


@dataclass(frozen=True)
class RecordedEvent:
    """One thing that a person said or did about a bundle, and when; see `events`."""

    event: Event
    number: int = 0
    """From 1 in its bundle; 0 before it is kept."""
    at: str = ""
    """When, ISO 8601 with its offset from UTC."""
    made: int = 0
    """The bundle's version that it led to."""
    undone: int = 0
    """The version at which it was undone; 0 where it holds."""
    row: int = 0
    """From 1 among all rows of its bundle, sets that were chosen among them."""


@dataclass(frozen=True)
class StoredPhoto:
    """A photo of a bundle; its bytes stay in the catalogue."""

    id: int
    number: int
    """From 1, in the order in which they were added."""
    name: str
    digest: str
    """SHA-256 of the file as it came, in hexadecimal digits: the photo is known by it."""
    wide: int
    """Pixels, upright."""
    high: int
    cut_off: int
    """Squares that the frame cuts."""
    pixels_per_inch: float
    evidence: str = ""
    """What the light is judged by, in words."""
    expected_error: float = 0.0
    """CIEDE2000 by which colours may be off."""
    unevenness: float = 1.0
    added_at: str = ""
    dropped: bool = False
    """Whether a person took it out of the bundle."""
    file_digest: str = ""
    """SHA-256 of the file where it is no more as it came, but has lost its metadata."""
    question: LightQuestion | None = None
    """What is asked of its light."""

    @property
    def digests(self) -> tuple[str, ...]:
        """Those that the photo is known by."""
        return tuple(filter(None, (self.digest, self.file_digest)))


@dataclass(frozen=True)
class SeenSquare:
    """A square as it came into the catalogue; never changed."""

    id: int
    photo: int
    label: str
    """Unique in its bundle, for good."""
    square: Square | None
    """What the photo said, with rows counted over the bundle; None where a person drew it."""


@dataclass(frozen=True)
class StoredSquare:
    """A square as it stands after all corrections."""

    id: int
    photo: int
    label: str
    square: Square
    drawn: bool = False
    """Whether a person drew it."""
    dropped: str = ""
    """Why it is out of the bundle, in words; empty where it is in it."""
    moved: bool = False
    """Whether a person moved its corners."""
    role: BundleRole = ""
    marks: tuple[Mark, ...] = ()
    said: str = ""
    """A name that a person gave it."""
    twin_of: int | None = None
    """The same piece of cloth in another photo, which stands for both."""
    project: str = ""
    """Name of the project that has it; empty where none has."""
    stage: Stage | None = None

    @property
    def right(self) -> bool:
        """Whether a person said that it is right as found."""
        return RIGHT_AS_FOUND in self.square.flags

    @property
    def live(self) -> bool:
        """Whether it belongs to the bundle."""
        return not self.dropped and self.twin_of is None

    @property
    def free(self) -> bool:
        """Whether a set may use it."""
        return self.live and not self.marks and not self.project

    @property
    def why_not_free(self) -> str:
        """What keeps it from being used, in words; empty where nothing does."""
        if self.dropped:
            return self.dropped
        if self.twin_of is not None:
            return "shown twice"
        if self.project:
            return f"{self.stage} for {self.project}" if self.stage else f"in {self.project}"
        return ", ".join(self.marks)


@dataclass(frozen=True)
class ProjectSet:
    """Squares that a project keeps together, darkest first."""

    squares: tuple[int, ...]
    stage: Stage = "reserved"


@dataclass(frozen=True)
class Project:
    """What squares were set aside for."""

    name: str
    pattern: str = ""
    """Name of the pattern that they were reserved for."""
    sets: tuple[ProjectSet, ...] = ()


@dataclass(frozen=True)
class SaidOfWall:
    """What was said of one wall, added up."""

    swaps: tuple[tuple[str, str], ...] = ()
    """Places that change places, in order."""
    done: tuple[str, ...] = ()
    """Places whose blocks are sewn."""
    hung: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    """By place, the squares that are to hang there."""
    taken: Mapping[str, tuple[tuple[int, ...], int]] = field(default_factory=dict)
    """By place, where the wall was taken as it hung: the squares in the order of the block's
    patches, and its turn, degrees clockwise."""
    cloths: Mapping[str, ChosenCloth] = field(default_factory=dict)
    """By name, what was chosen for cloths that are bought."""


@dataclass(frozen=True)
class State:
    """A bundle after all that a person said and did about it."""

    squares: Mapping[int, StoredSquare]
    """By number, those out of the bundle too."""
    fabrics: tuple[tuple[Literal["one", "own"], tuple[int, ...]], ...] = ()
    """What was said of fabrics, in order: squares of one, or squares of one of their own."""
    locks: tuple[tuple[int, ...], ...] = ()
    forbidden: tuple[tuple[int, int], ...] = ()
    white: int | None = None
    grey: int | None = None
    grounds: Mapping[int, Ground] = field(default_factory=dict)
    """By photo."""
    lamps: Mapping[int, bool] = field(default_factory=dict)
    """By photo, whether a lamp was on."""
    rules: StandingRules = field(default_factory=StandingRules)
    projects: Mapping[str, Project] = field(default_factory=dict)
    dropped_photos: frozenset[int] = frozenset()
    wall: Mapping[str, SaidOfWall] = field(default_factory=dict)
    """By the name of a wall."""
    notes: tuple[str, ...] = ()
    """What was said and can no longer hold, each a sentence."""
    asked_anew: int = 0
    """How often better sets were asked for."""
    standing: Standing = field(default_factory=Standing)
    """The sets that were chosen and stay."""

    def live_in(self, photo: int) -> tuple[StoredSquare, ...]:
        """Return the squares of a photo that are measured, in reading order."""
        found = [s for s in self.squares.values() if s.photo == photo and not s.dropped]
        return tuple(sorted(found, key=reading_order))

    def labelled(self, label: str) -> StoredSquare | None:
        """Return the square of this label, one that is out of the bundle last; None for none."""
        named = [s for s in self.squares.values() if s.label == label.strip().upper()]
        return min(named, key=lambda s: (bool(s.dropped), s.id), default=None)


@dataclass(frozen=True, eq=False)
class StoredBundle:
    """A bundle of the catalogue at one version."""

    id: int
    name: str
    side: Fraction
    """What the squares measure, inches."""
    version: int
    """Rises by one with everything that is done to it."""
    photos: tuple[StoredPhoto, ...]
    """Without those that were taken out."""
    state: State
    events: tuple[RecordedEvent, ...]
    """All, those undone too."""
    swatches: tuple[Swatch, ...]
    """Of the live squares, in reading order; fabric, family and value told."""
    added_at: str = ""
    by_label: Mapping[str, StoredSquare] = field(default_factory=dict)
    """The live squares."""
    gone_photos: tuple[StoredPhoto, ...] = ()
    """Those that were taken out."""
    seen: tuple[SeenSquare, ...] = ()
    """What the photos said."""
    measured_from: Mapping[int, str] = field(default_factory=dict)
    """By photo, what its squares were last measured from: changes when their colours may."""
    choices: tuple[RecordedEvent, ...] = ()
    """Sets that were chosen, in the order in which they were."""

    def square(self, label: str) -> StoredSquare:
        """Return the live square of a label; KeyError for none."""
        return self.by_label[label.strip().upper()]

    def label(self, number: int) -> str:
        """Return the label of a square."""
        return self.state.squares[number].label

    def doubts(self, photo: StoredPhoto) -> tuple[str, ...]:
        """Return the flags that are a photo's rather than its squares'."""
        return photo_doubts([one.square for one in self.state.live_in(photo.id)])


def reading_order(square: StoredSquare) -> tuple[int, bool, int, int, int]:
    """Return a key that sorts squares photo by photo, row by row, loose ones last."""
    row, col = square.square.row, square.square.col
    return square.photo, row is None, row or 0, col or 0, square.id


def corners_of(numbers: Any) -> Corners:  # noqa: ANN401 - as JSON gives it
    """Return four corners from four pairs of numbers.

    Raises
    ------
    ValueError
        They aren't.
    """
    points = [(float(x), float(y)) for x, y in numbers]
    if len(points) != 4:
        raise ValueError(f"expected 4 corners, got {len(points)}")
    a, b, c, d = points
    return a, b, c, d
