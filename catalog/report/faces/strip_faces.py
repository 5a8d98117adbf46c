"""What lies between the blocks and at the edges of a quilt's middle, as faces."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from catalog.cutting.quilt import Quilt
from catalog.cutting.quilt_sizes.block_places import Place, places
from catalog.cutting.quilt_sizes.quilt_layout import Layout
from catalog.cutting.units.face_shapes import quarter_turned
from catalog.cutting.units.units_by_name import find_unit
from catalog.report.faces.face_values import Face, FaceBox, FilledFace, Filling, Point, box_face
from catalog.report.faces.hung_faces import slant_of
from catalog.report.faces.shown_cloths import ShownCloths

Crossing = tuple[int, int]
"""Row and column of a crossing of the sashing, as `catalog.wall.leftover_pieces` counts them."""


def middle_faces(
    quilt: Quilt, layout: Layout, cloths: ShownCloths, posts: Mapping[Crossing, str]
) -> tuple[FilledFace, ...]:
    """Return the faces that blocks lie on or beside, in the order in which they are drawn.

    Parameters
    ----------
    quilt : Quilt
    layout : Layout
        With its finished sizes.
    cloths : ShownCloths
    posts : mapping
        By crossing the label of the square that a post is cut from, empty where one is wanting;
        none where posts are bought.
    """
    strips = _Strips(quilt, layout, cloths, posts)
    return tuple(strips.faces())


class _Strips:
    """The faces round the blocks of one quilt."""

    def __init__(
        self, quilt: Quilt, layout: Layout, cloths: ShownCloths, posts: Mapping[Crossing, str]
    ) -> None:
        self.layout, self.cloths, self.posts = layout, cloths, posts
        pieced = quilt.sashing.pieced if quilt.sashing else None
        self.unit = find_unit(pieced) if pieced else None
        self.from_squares = bool(quilt.sashing and quilt.sashing.post_kind and posts)
        across, down = layout.inset
        self.left, self.top = float(across), float(down)
        self.wide, self.long = (float(side) for side in layout.middle)
        self.block, self.tall = float(layout.block), float(layout.tall)
        self.strip = float(layout.sashing)

    def faces(self) -> Iterator[FilledFace]:
        """Yield edges, then strips, then posts."""
        spots = places(self.layout)
        if self.layout.on_point:
            yield self._plain((0.0, 0.0, self.wide, self.long), self.cloths.edge)
        if self.layout.offset:
            yield from self._half_blocks()
        if self.strip and self.layout.posts:
            yield from self._short_strips(spots)
        elif self.strip:
            yield from self._long_strips(spots)

    def _plain(self, box: FaceBox, cloth: str) -> FilledFace:
        """Return a rectangle of the middle, from its upper left corner."""
        return FilledFace(box_face(box).laid((self.left, self.top), 0.0), Filling(cloth))

    def _half_blocks(self) -> Iterator[FilledFace]:
        rim = self.strip if self.layout.framed else 0.0
        half = (self.block - self.strip) / 2
        for row in range(1, self.layout.rows, 2):
            y = rim + row * (self.tall + self.strip)
            for x in (rim, self.wide - rim - half):
                yield self._plain((x, y, half, self.tall), self.cloths.edge)

    def _short_strips(self, spots: tuple[Place, ...]) -> Iterator[FilledFace]:
        """Yield strips as long as a block, and the posts between them, each once."""
        strips: dict[tuple[str, int, int], list[FilledFace]] = {}
        corners: dict[Crossing, FilledFace] = {}
        half, tall, strip = self.block / 2, self.tall / 2, self.strip
        for spot in spots:
            r, c = spot.row, spot.column
            for key, box in (
                (("level", r, c), (-half, -tall - strip, self.block, strip)),
                (("upright", r, c + 1), (half, -tall, strip, self.tall)),
                (("level", r + 1, c), (-half, tall, self.block, strip)),
                (("upright", r, c), (-half - strip, -tall, strip, self.tall)),
            ):
                if key not in strips and self._is_there(key):
                    strips[key] = self._strip(box, spot)
            for at, x, y in (
                ((r, c), -half - strip, -tall - strip),
                ((r, c + 1), half, -tall - strip),
                ((r + 1, c + 1), half, tall),
                ((r + 1, c), -half - strip, tall),
            ):
                if at not in corners and self._has_post(at):
                    corners[at] = self._laid((x, y, strip, strip), spot, self._post(at))
        yield from (face for own in strips.values() for face in own)
        yield from corners.values()

    def _is_there(self, key: tuple[str, int, int]) -> bool:
        """Whether there is a strip: inside, or all round."""
        run, row, column = key
        at, most = (row, self.layout.rows) if run == "level" else (column, self.layout.columns)
        return self.layout.framed or 0 < at < most

    def _has_post(self, at: Crossing) -> bool:
        return self._is_there(("level", *at)) and self._is_there(("upright", *at))

    def _post(self, at: Crossing) -> Filling:
        if self.from_squares:
            return Filling(square=self.posts.get(at, ""))
        return Filling(self.cloths.post)

    def _at(self, spot: Place) -> Point:
        return self.left + spot.x, self.top + spot.y

    def _laid(self, box: FaceBox, spot: Place, filling: Filling) -> FilledFace:
        return FilledFace(box_face(box).laid(self._at(spot), slant_of(self.layout)), filling)

    def _strip(self, box: FaceBox, spot: Place) -> list[FilledFace]:
        """Return a strip beside a block: one piece, or the parts of its unit."""
        at, slant = self._at(spot), slant_of(self.layout)
        if self.unit is None:
            return [self._laid(box, spot, Filling(self.cloths.strip))]
        x, y, wide, high = box
        short, long = sorted(
            (Fraction(wide).limit_denominator(), Fraction(high).limit_denominator())
        )
        parts = self.unit.in_proportion(short / long).parts
        found = []
        for part, cloth in zip(parts, self.cloths.strip_parts, strict=True):
            shown = part.polygons if wide >= high else quarter_turned(part.polygons)
            for polygon in shown:
                points = tuple((x + float(a) * wide, y + float(b) * high) for a, b in polygon)
                face = Face(points, (x + wide / 2, y + high / 2), (wide, high))
                found.append(FilledFace(face.laid(at, slant), Filling(cloth)))
        return found

    def _long_strips(self, spots: tuple[Place, ...]) -> Iterator[FilledFace]:
        """Yield strips between the blocks of a row, and those from side to side between rows."""
        framed, strip, cloth = self.layout.framed, self.strip, self.cloths.strip
        rim = strip if framed else 0.0
        for spot in spots:
            halves = self.layout.offset and spot.row % 2 == 1
            last = spot.in_row == self.layout.line_lengths[spot.row % 2] - 1
            x, y = spot.x - self.block / 2, spot.y - self.tall / 2
            if spot.in_row or halves:
                yield self._plain((x - strip, y, strip, self.tall), cloth)
            if last and halves:
                yield self._plain((x + self.block, y, strip, self.tall), cloth)
        for row in range(1, self.layout.rows):
            y = rim + row * (self.tall + strip) - strip
            yield self._plain((rim, y, self.wide - 2 * rim, strip), cloth)
        if framed:
            for x in (0.0, self.wide - strip):
                yield self._plain((x, strip, strip, self.long - 2 * strip), cloth)
            for y in (0.0, self.long - strip):
                yield self._plain((0.0, y, self.wide, strip), cloth)
