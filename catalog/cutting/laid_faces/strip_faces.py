"""What lies between the blocks and at the edges of a quilt's middle, as faces."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from catalog.cutting.laid_faces.laid_face import (
    FaceBox,
    FaceRole,
    LaidFace,
    Point,
    box_face,
    share_face,
    slant_of,
)
from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import Crossing, Place, crossings_round, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.units.face_shapes import quarter_turned
from catalog.cutting.units.units_by_name import find_unit


def middle_faces(quilt: Quilt, layout: Layout) -> tuple[LaidFace, ...]:
    """Return the faces that blocks lie on or beside: edges, then strips, then posts.

    Each stands once and none lies over another, but for the cloth of a quilt on point's edge, which
    is one face below all.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    """
    return tuple(_Strips(quilt, layout).faces())


class _Strips:
    """The faces round the blocks of one quilt."""

    def __init__(self, quilt: Quilt, layout: Layout) -> None:
        self.layout = layout
        pieced = quilt.sashing.pieced if quilt.sashing else None
        self.unit = find_unit(pieced) if pieced else None
        across, down = layout.inset
        self.left, self.top = float(across), float(down)
        self.wide, self.long = (float(side) for side in layout.middle)
        self.block, self.tall = float(layout.block), float(layout.tall)
        self.strip = float(layout.sashing)

    def faces(self) -> Iterator[LaidFace]:
        """Yield edges, then strips, then posts."""
        spots = places(self.layout)
        if self.layout.on_point:
            yield self._plain((0.0, 0.0, self.wide, self.long), "edge")
        if self.layout.offset:
            yield from self._half_blocks()
        if self.strip and self.layout.posts:
            yield from self._short_strips(spots)
        elif self.strip:
            yield from self._long_strips(spots)

    def _plain(self, box: FaceBox, role: FaceRole) -> LaidFace:
        """Return a rectangle of the middle, from its upper left corner."""
        return LaidFace(box_face(box).laid((self.left, self.top), 0.0), role)

    def _half_blocks(self) -> Iterator[LaidFace]:
        rim = self.strip if self.layout.framed else 0.0
        half = (self.block - self.strip) / 2
        for row in range(1, self.layout.rows, 2):
            y = rim + row * (self.tall + self.strip)
            for x in (rim, self.wide - rim - half):
                yield self._plain((x, y, half, self.tall), "edge")

    def _short_strips(self, spots: tuple[Place, ...]) -> Iterator[LaidFace]:
        """Yield strips as long as a block, and the posts between them, each once."""
        strips: dict[tuple[str, int, int], list[LaidFace]] = {}
        posts: dict[Crossing, LaidFace] = {}
        half, tall, strip = self.block / 2, self.tall / 2, self.strip
        lefts, tops = (-half - strip, half), (-tall - strip, tall)
        for spot in spots:
            r, c = spot.row, spot.column
            for key, box in (
                (("level", r, c), (-half, tops[0], self.block, strip)),
                (("upright", r, c + 1), (half, -tall, strip, self.tall)),
                (("level", r + 1, c), (-half, tall, self.block, strip)),
                (("upright", r, c), (lefts[0], -tall, strip, self.tall)),
            ):
                if key not in strips and self._is_there(key):
                    strips[key] = self._strip(box, spot)
            for at in crossings_round(spot):
                if at not in posts and self._has_post(at):
                    box = (lefts[at[1] - c], tops[at[0] - r], strip, strip)
                    face = box_face(box).laid(self._at(spot), slant_of(self.layout))
                    posts[at] = LaidFace(face, "post", crossing=at)
        yield from (face for own in strips.values() for face in own)
        yield from posts.values()

    def _is_there(self, key: tuple[str, int, int]) -> bool:
        """Whether there is a strip: inside, or all round."""
        run, row, column = key
        at, most = (row, self.layout.rows) if run == "level" else (column, self.layout.columns)
        return self.layout.framed or 0 < at < most

    def _has_post(self, at: Crossing) -> bool:
        return self._is_there(("level", *at)) and self._is_there(("upright", *at))

    def _at(self, spot: Place) -> Point:
        return self.left + spot.x, self.top + spot.y

    def _strip(self, box: FaceBox, spot: Place) -> list[LaidFace]:
        """Return a strip beside a block: one piece, or the parts of its unit."""
        at, slant = self._at(spot), slant_of(self.layout)
        if self.unit is None:
            return [LaidFace(box_face(box).laid(at, slant), "sashing")]
        _, _, wide, high = box
        short, long = sorted(
            (Fraction(wide).limit_denominator(), Fraction(high).limit_denominator())
        )
        found = []
        for number, part in enumerate(self.unit.in_proportion(short / long).parts):
            shown = part.polygons if wide >= high else quarter_turned(part.polygons)
            for polygon in shown:
                face = share_face(polygon, box).laid(at, slant)
                found.append(LaidFace(face, "sashing", part=number))
        return found

    def _long_strips(self, spots: tuple[Place, ...]) -> Iterator[LaidFace]:
        """Yield strips between the blocks of a row, and those from side to side between rows."""
        framed, strip = self.layout.framed, self.strip
        rim = strip if framed else 0.0
        for spot in spots:
            halves = self.layout.offset and spot.row % 2 == 1
            last = spot.in_row == self.layout.line_lengths[spot.row % 2] - 1
            x, y = spot.x - self.block / 2, spot.y - self.tall / 2
            if spot.in_row or halves:
                yield self._plain((x - strip, y, strip, self.tall), "sashing")
            if last and halves:
                yield self._plain((x + self.block, y, strip, self.tall), "sashing")
        for row in range(1, self.layout.rows):
            y = rim + row * (self.tall + strip) - strip
            yield self._plain((rim, y, self.wide - 2 * rim, strip), "sashing")
        if framed:
            for x in (0.0, self.wide - strip):
                yield self._plain((x, strip, strip, self.long - 2 * strip), "sashing")
            for y in (0.0, self.long - strip):
                yield self._plain((0.0, y, self.wide, strip), "sashing")
