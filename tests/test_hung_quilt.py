"""The quilt as faces: they cover it, nothing twice, and show what the quilt's picture shows."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import cv2
import numpy as np
import pytest
from random_quilts import blocks_area, drawn_quilt, edge_area
from walls_made import PINWHEEL, bundle, layout_of

from catalog.colour.lab import lab_to_srgb8
from catalog.cutting.adapted.adapted_block import adapt_block
from catalog.cutting.adapted.adapted_lengths import as_laid_out
from catalog.cutting.laid_faces.laid_face import laid_out
from catalog.cutting.quilt import Sashing
from catalog.pattern.patterns import read_pattern
from catalog.report.faces.face_values import WANTS
from catalog.report.faces.hung_quilt import hung_quilt
from catalog.report.pictures.block_face import MISSING, Tones
from catalog.report.pictures.quilt_canvas import LONG_SIDE, MARGIN
from catalog.report.pictures.wall_picture import wall_picture
from catalog.wall.drawn.pressing_arrows import pressing_arrows
from catalog.wall.exchanged_blocks import move_blocks
from catalog.wall.wall_plan import plan_wall

PLAIN = replace(PINWHEEL, borders=())
TONES = Tones((93.0, 0.0, 0.0), (60.0, 0.0, 0.0), (40.0, 20.0, -20.0))


def area(points):
    xs, ys = np.array(points).T
    return abs(np.sum(xs * np.roll(ys, -1) - ys * np.roll(xs, -1))) / 2


def random_wall(seed):
    """A quilt drawn by chance, laid out, with nothing on its wall."""
    drawn = drawn_quilt(seed)
    quilt = read_pattern(drawn.text, "own").quilt
    block = adapt_block(quilt, None, quilt.seam)
    layout = as_laid_out(quilt, block.finished, quilt.seam, quilt.rows, quilt.columns)
    return drawn, quilt, layout, plan_wall(quilt, layout, [], [], "rainbow-across")


def block_faces_of(faces):
    """Every face of every block in its place, with what fills it."""
    return [
        (laid_out(face.points, one.middle, one.turn), filling)
        for one in faces.hung
        for face, filling in zip(faces.kinds[one.kind], one.fillings, strict=True)
    ]


@pytest.mark.parametrize("seed", range(16))
def test_faces_cover_a_quilt_and_nothing_twice(seed):
    drawn, quilt, layout, wall = random_wall(seed)
    faces = hung_quilt(quilt, layout, wall, TONES)
    wide, long = (float(side) for side in layout.middle)
    blocks = sum(area(points) for points, _ in block_faces_of(faces))
    assert blocks == pytest.approx(float(blocks_area(drawn)))
    under = sum(area(one.face.points) for one in faces.under)
    edges = float(edge_area(drawn))
    if drawn.how != "on point":
        assert under + blocks == pytest.approx(wide * long)
    elif not (drawn.sashing and drawn.sashing["half"]):  # there posts reach over the edge
        assert under - wide * long + blocks + edges == pytest.approx(
            wide * long, abs=(wide + long) / 16
        )
    rounds = [one for one in faces.over if one.filling.cloth != "binding"]
    if not any(border.pieced or border.corners == "posts" for border in quilt.borders):
        every = faces.wide * faces.long - wide * long
        assert sum(area(one.face.points) for one in rounds) >= every - 1e-6


@pytest.mark.parametrize(
    "seed", [3, *(pytest.param(n, marks=pytest.mark.slow) for n in (1, 4, 7, 12, 20))]
)
def test_faces_show_what_the_picture_of_the_quilt_shows(seed):
    _, quilt, layout, wall = random_wall(seed)
    faces = hung_quilt(quilt, layout, wall, TONES)
    picture = wall_picture(quilt, layout, wall, [], [], TONES)
    looks = {name: lab_to_srgb8(lab) for name, lab in faces.cloths.items()}
    margin = MARGIN * max(faces.wide, faces.long)
    scale = LONG_SIDE / max(faces.wide, faces.long)
    drawn = np.zeros_like(picture)
    every = [(one.face.points, one.filling) for one in faces.under]
    every += block_faces_of(faces)
    every += [(one.face.points, one.filling) for one in faces.over]
    for points, filling in every:
        colour = looks[filling.cloth] if filling != WANTS else lab_to_srgb8(MISSING)
        corners = np.rint((np.array(points) + margin) * scale).astype(np.int32)
        cv2.fillPoly(drawn, [corners], [int(one) for one in colour])
    rim = slice(round(margin * scale) + 2, -round(margin * scale) - 2)
    apart = np.abs(drawn[rim, rim].astype(int) - picture[rim, rim]).max(axis=2) > 40
    posts = quilt.sashing and quilt.sashing.posts and not layout.on_point  # left plain there
    assert apart.mean() < (0.12 if posts else 0.06)  # seams, and places' names on point


def test_a_block_that_hangs_turned_and_upright_prints():
    sets, swatches = bundle(20)
    layout = layout_of(PLAIN, sashing=Fraction(1), on_point=True)
    quilt = replace(PLAIN, on_point=True, sashing=Sashing(Fraction(1)), turn_rows=90)
    wall = plan_wall(quilt, layout, sets, swatches, "rainbow-across")
    block = wall.blocks[0]
    one_way = replace(block, one_way=tuple(label for _, label in block.squares))
    faces = hung_quilt(quilt, layout, replace(wall, blocks=(one_way, *wall.blocks[1:])), TONES)
    first = faces.hung[0]
    assert first.turn == block.turn + 45
    for number, filling in enumerate(first.fillings):
        turn = first.turns.get(number, faces.kinds[0][number].turn)
        if filling.square:
            assert (turn + block.turn) % 360 == 0
    assert {filling.square for filling in first.fillings if filling.square} == {
        label for _, label in block.squares
    }


def test_what_changes_places_takes_its_cloth_along():
    sets, swatches = bundle(20)
    layout = layout_of(PLAIN)
    wall = plan_wall(PLAIN, layout, sets, swatches, "rainbow-across")
    moved = move_blocks(PLAIN, layout, wall, [("A1", "B2")], {one.label: one for one in swatches})
    before, after = (hung_quilt(PLAIN, layout, one, TONES) for one in (wall, moved))
    at = {one.place: one for one in before.hung}
    now = {one.place: one for one in after.hung}
    assert now["A1"].fillings == at["B2"].fillings
    assert now["B2"].fillings == at["A1"].fillings
    assert all(now[place] == at[place] for place in at if place not in {"A1", "B2"})


@pytest.mark.parametrize("seed", range(6))
def test_arrows_lie_on_the_edges_of_faces(seed):
    """A seam runs where two pieces meet, so its arrow's point is inside no piece."""
    drawn, quilt, layout, wall = random_wall(seed)
    if drawn.how == "on point":  # triangles at the edge are one face there
        return
    faces = hung_quilt(quilt, layout, wall, TONES)
    shown = [np.array(points, np.float32) for points, _ in block_faces_of(faces)]
    shown += [np.array(one.face.points, np.float32) for one in faces.under]
    for arrow in pressing_arrows(quilt, layout, wall):
        far = max(cv2.pointPolygonTest(one, (arrow.x, arrow.y), True) for one in shown)
        assert abs(far) < 0.01, arrow
