"""What is known so far: a piece half read, and the cloth, the strips and the blocks round it."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, Literal

from catalog.pattern.words.instruction_values import CutShape, ReadBuy
from catalog.pattern.words.phrases.trade_words import NO_CLOTH_PARTS
from catalog.pattern.words.phrases.word_sets import words_in

ROUND_BLOCKS: Final = words_in("sashing sashings cornerstones posts border borders binding backing")
"""Parts of a quilt that are cut for all of it, whatever the list of one block says above them."""
Section = Literal["cutting", "materials", "sewing"]


@dataclass
class Draft:
    """A piece as its words are met; what isn't said stays empty."""

    start: int
    """Place in the text of the first of its words."""
    end: int
    count: int = 0
    sure: bool = True
    """Whether its count is one number that is plainly a count."""
    sides: tuple[Fraction, ...] = ()
    """Inches."""
    way: str = ""
    """Which side a single one is: "wide", "long", or not said."""
    unit_said: bool = True
    shape: CutShape | None = None
    shaped: bool = False
    """Whether a shape is named, be it only "pieces"."""
    triangles: bool = False
    """Whether the words call the piece itself a triangle."""
    across: bool = False
    along: bool = False
    diagonal: bool = False
    times: int = 0
    said_triangles: int = 0
    """How many triangles the text says they give; 0 where it doesn't."""
    cloth: str | None = None
    unnamed: bool = False
    """Whether neither its words nor its heading name a cloth."""
    each: int = 0
    """From each of how many fabrics; -1 where their number isn't told; 0 where from one."""
    names: list[list[str]] = field(default_factory=lambda: [[]])
    """Words that may be the cloth's name."""
    purpose: list[str] = field(default_factory=list)
    """Words behind "for"."""
    more: bool = False
    total: bool = False
    bracket: bool = False
    part: str = ""
    """Of the quilt, as the heading has it."""
    recut: bool = False
    per_strip: bool = False
    per_block: bool = False
    label: str = ""
    like: Draft | None = None
    """The piece whose size it takes."""
    star: bool = False
    """Whether a star refers from it to a note."""
    strips: list[Draft] = field(default_factory=list)
    used_up: bool = False
    """Of strips: whether they are cut further."""
    set_aside: bool = False
    """Of strips: whether the text puts them by as they are."""
    line: int = 0
    """Number of the line that it stands in."""
    indent: int = 0
    heard: set[int] = field(default_factory=set)
    """First tokens of the counts and sizes in it."""
    doubts: list[str] = field(default_factory=list)
    """What is doubtful, each the end of a sentence that begins with its words."""

    @property
    def is_strip(self) -> bool:
        """Whether it may be cut further into what lies side by side in it."""
        return self.across or self.along or self.shape == "strip"

    def shown(self, text: str) -> str:
        """Return the words that it was read from, in one line."""
        return " ".join(text[self.start : self.end].split())


@dataclass
class ReadingState:
    """What a sentence needs to know of those before it."""

    text: str
    unit: Fraction
    usable: Fraction | None = None
    blocks: int = 0
    """Blocks in the quilt, where they are told."""
    section: Section = "cutting"
    cloth: str = ""
    part: str = ""
    each: int = 0
    under_heading: bool = False
    """Whether the cloth stands as a heading over the lines that follow, up to a blank one."""
    mentioned: str = ""
    """The cloth named last, whatever for."""
    per_block: bool = False
    whole_quilt: bool = False
    """Whether the pieces of the whole quilt are listed beside those of one block."""
    recut_indent: int = -1
    """Indent of the line behind which pieces are cut from strips; -1 where none is."""
    line: int = 0
    indent: int = 0
    label: str = ""
    labels: dict[str, str] = field(default_factory=dict)
    """Cloth by the letter that the list of what to buy gives it."""
    sizes: dict[str, Draft] = field(default_factory=dict)
    """Sizes by the letter that a key gives them: "A: 4 1/2 in square"."""
    sewn: bool = False
    """Whether the sentence before was about sewing."""
    shape: CutShape | None = None
    """What a heading calls the pieces below it."""
    length_first: bool = False
    """Whether the text says that it writes lengths before widths."""
    sentence: list[Draft] = field(default_factory=list)
    """Pieces of the last sentence that had any."""
    drafts: list[Draft] = field(default_factory=list)
    buys: list[ReadBuy] = field(default_factory=list)
    fabrics: dict[str, int] = field(default_factory=dict)
    """How many fabrics are bought under a name."""
    unread: list[str] = field(default_factory=list)
    noted: list[tuple[str, str]] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    needs: list[tuple[int, str]] = field(default_factory=list)
    """What each block is said to take: how many, and of what."""
    quilt_sides: tuple[Fraction, ...] = ()
    """Of the finished quilt, inches, where they are told."""
    finished_block: Fraction | None = None
    mixed_units: bool = False
    """Whether the text measures both in inches and in centimetres."""
    all_pieces: int = 0
    """How many pieces the text says there are in all, strips aside."""

    def head(self, cloth: str, part: str, each: int = 0) -> None:
        """Begin what stands under a name."""
        self.cloth, self.part, self.each = cloth, part, each
        if set(part.split()) & ROUND_BLOCKS:
            self.per_block = False
        self.mentioned = cloth or self.mentioned
        self.recut_indent, self.shape = -1, None

    @property
    def cloth_now(self) -> str:
        """The cloth that holds where a sentence names none."""
        return self.cloth or (self.part if self.part_is_cloth else "")

    @property
    def part_is_cloth(self) -> bool:
        """Whether cloth is bought for the part of the quilt that is spoken of."""
        return bool(self.part) and not set(self.part.split()) <= NO_CLOTH_PARTS

    def known(self) -> frozenset[str]:
        """Names of cloth met so far."""
        bought = {buy.cloth for buy in self.buys}
        return frozenset(bought | {draft.cloth for draft in self.drafts if draft.cloth} - {""})
