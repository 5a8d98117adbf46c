"""Drawings of blocks read: what is proposed, what is doubted, and what is no drawing."""

from __future__ import annotations

import json

import cv2
import numpy as np
import pytest
from block_drawings_made import STYLES, made_drawing
from block_drawings_truth import scored

from catalog.cutting.block_seams import sewing_order
from catalog.errors import PatternError
from catalog.pattern.drawing.block_parsing import parsed_block
from catalog.pattern.drawing.drawing_reading import read_drawing
from catalog.pattern.drawing.seam_lattice import Seams, seam_ends
from catalog.pattern.drawing.squared_drawing import aspect_of
from catalog.pattern.drawing.unit_seams import shapes_in
from catalog.pattern.patterns import read_pattern
from cli.patterns.drawing_view import proposal_view

STYLE = {style.name: style for style in STYLES}
READ = {"outline": 2, "hatched": 6, "photographed colours": 3}
"""A drawing of each of some styles that is read whole; the rest are for tests/bench."""


@pytest.fixture(scope="module")
def drawings():
    return {name: made_drawing(STYLE[name], seed) for name, seed in READ.items()}


@pytest.fixture(scope="module")
def proposals(drawings):
    return {name: read_drawing(made.picture) for name, made in drawings.items()}


@pytest.mark.parametrize("name", READ)
def test_a_drawing_is_read_whole_and_is_a_pattern(name, drawings, proposals):
    made, found = drawings[name], proposals[name]
    assert scored(made.truth, found.drawn).exact
    off = np.abs(np.array(found.corners) - made.corners).max()
    assert off < 0.02 * np.linalg.norm(made.corners[1] - made.corners[0])
    assert len(found.certainties) == len(found.drawn.block.cells)
    assert sewing_order(found.drawn.block) is not None
    told = proposal_view(found)
    pattern = read_pattern(told["proposal"]["text"], name)
    assert pattern.quilt.block.across == found.drawn.block.across
    assert [one["look"] for one in told["proposal"]["colours"]] == list(found.looks)


def test_what_can_t_be_told_is_doubted(proposals):
    assert any("no colours" in one for one in proposals["outline"].doubts)
    assert any("background" in one for one in proposals["hatched"].doubts)


def test_a_drawing_cut_out_along_its_frame_is_read():
    picture = np.full((240, 240, 3), 250, np.uint8)
    picture[:120, :120] = picture[120:, 120:] = (200, 40, 40)
    found = read_drawing(picture)
    assert [(cell.row, cell.column) for cell in found.drawn.block.cells] == [
        *((0, 0), (0, 1), (1, 0), (1, 1))
    ]
    assert {one.unit for one in found.drawn.block.units} == {"square"}


def page_of_text():
    rng = np.random.default_rng(3)
    page = np.full((700, 560, 3), 250, np.uint8)
    for line in range(20):
        words = "".join(rng.choice(list("aeinorst   "), 38))
        cv2.putText(page, words, (40, 60 + 30 * line), 0, 0.6, (20, 20, 20), 1, cv2.LINE_AA)
    cv2.rectangle(page, (20, 20), (540, 680), (0, 0, 0), 2)
    return page


def cloth():
    rng = np.random.default_rng(5)
    spots = cv2.resize(rng.uniform(0, 255, (24, 24, 3)).astype(np.uint8), (300, 300))
    return cv2.copyMakeBorder(spots, 60, 60, 60, 60, cv2.BORDER_CONSTANT, value=(200, 190, 180))


@pytest.mark.parametrize(
    "picture",
    [np.full((300, 400, 3), 245, np.uint8), page_of_text(), cloth()],
    ids=["blank", "text", "cloth"],
)
def test_what_is_no_drawing_is_refused_in_a_sentence(picture):
    with pytest.raises(PatternError, match="no drawing of a block") as refused:
        read_drawing(picture)
    assert refused.value.cure


def test_a_frame_seen_askew_keeps_its_proportions():
    """A page of 3 : 2, turned about both of its axes, before a pinhole of 900 px."""
    wide, high, focal = 3.0, 2.0, 900.0
    plane = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)]) / 2
    about, over = cv2.Rodrigues(np.array([0, 0.5, 0]))[0], cv2.Rodrigues(np.array([0.35, 0, 0]))[0]
    space = np.column_stack([plane, np.zeros(4)]) @ (over @ about).T + (0.2, 0.1, 6)
    seen = space[:, :2] / space[:, 2:] * focal + (500, 400)
    assert aspect_of(seen, 1000, 800) == pytest.approx(high / wide, rel=1e-3)
    assert aspect_of(plane * 100 + (500, 400), 1000, 800) == pytest.approx(high / wide)


def test_the_likeliest_units_are_found_on_a_lattice():
    """Odds of a sawtooth star's seams, by hand: its star is four geese round a square of 2 x 2."""
    ends = seam_ends(4, 4)
    level, upright = np.full((3, 4), -3.0), np.full((4, 3), -3.0)
    slanted = np.full((4, 4, 4), -3.0)
    level[0], level[2] = 3.0, 3.0
    upright[:, 0], upright[:, 2] = 3.0, 3.0
    rising, falling = [1, 3], [0, 2]
    geese = ((0, 1, falling), (0, 2, rising), (3, 1, rising), (3, 2, falling),
             (1, 0, falling), (2, 0, rising), (1, 3, rising), (2, 3, falling))  # fmt: skip
    for row, column, way in geese:
        slanted[row, column, way] = 3.0
    units = parsed_block(Seams(level, upright, slanted), 4, 4, lambda _: 0.0)
    shown = {(one.row, one.column, one.shape.unit if one.shape else "plain", one.wide, one.high,
              one.shape.turn if one.shape else 0) for one in units}  # fmt: skip
    assert len(ends.starts) == 12 + 12 + 64
    assert shown == {
        *((row, column, "plain", 1, 1, 0) for row in (0, 3) for column in (0, 3)),
        (1, 1, "plain", 2, 2, 0),
        (0, 1, "flying-geese", 2, 1, 180),
        (1, 0, "flying-geese", 1, 2, 90),
        (1, 3, "flying-geese", 1, 2, 270),
        (3, 1, "flying-geese", 2, 1, 0),
    }


def test_units_are_looked_for_in_every_turn_once():
    halves = [one for one in shapes_in(1, 1) if one.unit == "half-square-triangle"]
    assert {one.turn for one in halves} == {0, 90}
    assert len({one.lines for one in shapes_in(2, 2)}) == len(shapes_in(2, 2))


def test_the_command_and_the_page_tell_the_same(calicount, page, drawings, proposals, tmp_path):
    made = drawings["hatched"]
    _, data = cv2.imencode(".png", made.picture[..., ::-1])
    (tmp_path / "page.png").write_bytes(data.tobytes())
    shown = calicount("pattern", "drawing", str(tmp_path / "page.png"))
    assert shown.exit_code == 0
    assert read_pattern(shown.stdout, "x").blocks == 12
    assert "to be looked over" in shown.stderr
    sent = page.browser.post(
        "/api/patterns/drawing", content=data.tobytes(), headers={"Content-Type": "image/png"}
    )
    assert sent.status_code == 200
    assert sent.json() == json.loads(json.dumps(proposal_view(proposals["hatched"])))
    assert sent.json()["proposal"]["text"] == shown.stdout.rstrip("\n") + "\n"
    none = page.browser.post(
        "/api/patterns/drawing", content=b"no photo", headers={"Content-Type": "text/plain"}
    )
    assert none.status_code == 400
    blank = cv2.imencode(".png", np.full((90, 90, 3), 250, np.uint8))[1].tobytes()
    refused = page.browser.post(
        "/api/patterns/drawing", content=blank, headers={"Content-Type": "image/png"}
    )
    assert refused.status_code == 400
    assert "no drawing" in refused.json()["problem"]
