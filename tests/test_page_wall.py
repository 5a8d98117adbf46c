"""The wall on the page: the quilt to be drawn, and moves tried before they are made."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

pytestmark = pytest.mark.usefixtures("quickly_hung")
ALONE = {"pattern": None}


def quilt(page, **wish):
    return page.post(f"bundle/{page.bundle()['id']}/quilt", {**ALONE, **wish})


def blocks(page, **wish):
    return {one["place"]: one for one in quilt(page, **wish)["blocks"]}


def tried(page, code=200, wish=ALONE, **move):
    body = {**wish, "move": move}
    return page.post(f"bundle/{page.bundle()['id']}/wall-trial", body, code)


def test_the_quilt_is_told_face_by_face(shown):
    told = quilt(shown, pattern="pinwheel")
    plan = shown.post(f"bundle/{shown.bundle()['id']}/plan", {"pattern": "pinwheel"})
    places = plan["wall"]["blocks"]
    assert [one["place"] for one in told["blocks"]] == [one["place"] for one in places]
    for one, place in zip(told["blocks"], places, strict=True):
        assert len(one["f"]) == len(told["kinds"][one["kind"]])
        assert {fill for fill in one["f"] if fill > 0} == set(place["squares"])
        assert {n for group in one["groups"] for n in group["squares"]} == set(place["squares"])
    names = {one["name"] for one in told["cloths"]}
    assert {"background", "border", "binding"} <= names
    assert all(-len(names) <= fill for one in told["blocks"] for fill in one["f"])
    assert set(told["squares"]) >= {str(n) for place in places for n in place["squares"]}


def test_all_squares_are_on_one_sheet(shown):
    sheet = quilt(shown)["sheet"]
    answer = shown.browser.get(sheet["href"])
    assert "immutable" in answer.headers["cache-control"]
    picture = np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGB"), float)
    side, columns = sheet["side"], sheet["columns"]
    assert picture.shape[1] == side * columns
    for place, number in enumerate(sheet["squares"]):
        top, left = (one * side for one in divmod(place, columns))
        here = picture[top : top + side, left : left + side].mean(axis=(0, 1))
        crop = Image.open(io.BytesIO(shown.browser.get(f"/api/crop/{number}.jpg").content))
        alone = np.asarray(crop.convert("RGB"), float).mean(axis=(0, 1))
        assert np.abs(here - alone).max() < 4.0


def test_a_block_is_tried_and_then_hung(page):
    before = blocks(page)
    told = tried(page, what="blocks", **{"from": "A1", "to": "B2"})
    assert told["changed"] == ["A1", "B2"]
    assert all("before" in line for line in told["lines"])
    assert {one["place"]: one["f"] for one in told["blocks"]} == {
        "A1": before["B2"]["f"],
        "B2": before["A1"]["f"],
    }
    assert all(set(one["places"]) & {"A1", "B2"} for one in told["beside"])
    assert blocks(page) == before  # a try is no more than that
    view = page.do(page.bundle(), *told["deeds"])
    assert blocks(page)["A1"]["f"] == before["B2"]["f"]
    assert view["undo"] == "A1 and B2 change places on the wall"


def test_sets_squares_and_turns_are_tried_and_then_hung(page):
    before = blocks(page)
    one, other = (before[place]["groups"][0]["squares"] for place in ("A1", "A2"))
    move = {"from": "A1", "to": "A2", "square": one[0], "other": other[1]}
    view = page.do(page.bundle(), *tried(page, what="sets", **move)["deeds"])
    assert view["undo"] == "A set of A1 and one of A2 change places on the wall"
    now = blocks(page)
    assert now["A1"]["groups"] == before["A2"]["groups"]
    move = {"from": "A1", "to": "A1", "square": other[0], "other": other[1]}
    told = tried(page, what="squares", **move)
    assert told["lines"] == []  # nothing changes beside it
    view = page.do(view, *told["deeds"])
    assert view["undo"] == "Squares in A1 on the wall change places"
    flipped = {other[0]: other[1], other[1]: other[0]}
    assert blocks(page)["A1"]["f"] == [flipped.get(fill, fill) for fill in now["A1"]["f"]]
    view = page.do(view, *tried(page, what="turn", **{"from": "B1"})["deeds"])
    assert view["undo"] == "B1 on the wall is turned"
    assert blocks(page)["B1"]["t"] == 90
    page.post(f"bundle/{view['id']}/undo", {"version": view["version"]})
    assert blocks(page)["B1"]["t"] == 0


def test_what_can_not_be_moved_is_told_in_a_sentence(shown):
    here = blocks(shown)
    square = here["A1"]["groups"][0]["squares"][0]
    for move, says in (
        ({"what": "blocks", "from": "A1", "to": "A1"}, "where it hangs"),
        ({"what": "blocks", "from": "A1", "to": "Q9"}, "no place Q9"),
        ({"what": "sets", "from": "A1", "to": "A2", "square": square}, "other"),
        ({"what": "squares", "from": "A1", "to": "A2", "square": square, "other": 3}, "within"),
        ({"what": "throw", "from": "A1", "to": "A2"}, "what"),
        ({}, "what"),
    ):
        assert says in tried(shown, 400, **move)["problem"]
    nothing = shown.post(
        f"bundle/{shown.bundle()['id']}/quilt",
        {"pattern": "pinwheel", "rows": 0, "columns": 1},
        400,
    )
    assert nothing["problem"]


def cloth_tried(page, code=200, **choice):
    body = {"pattern": "pinwheel", "choice": choice}
    return page.post(f"bundle/{page.bundle()['id']}/cloth-trial", body, code)


def ground(page, **wish):
    told = quilt(page, pattern="pinwheel", **wish)["cloths"]
    return next(one for one in told if one["name"] == "background")


def test_a_background_is_tried_and_kept_for_all_walls_of_its_pattern(page):
    before = ground(page)
    told = cloth_tried(page, cloth="background", colour="#804020")
    assert next(one for one in told["cloths"] if one["name"] == "background")["hex"] == "#804020"
    assert told["lines"]
    assert {one["place"] for one in told["steps"]} <= set(blocks(page, pattern="pinwheel"))
    assert ground(page) == before  # a try is no more than that
    view = page.do(page.bundle(), *told["deeds"])
    assert view["undo"] == "Background is of #804020"
    assert (ground(page)["hex"], ground(page)["chosen"]) == ("#804020", True)
    assert ground(page, order="scattered")["hex"] == "#804020"
    picture = page.browser.get(f"/api/bundle/{view['id']}/wall.jpg", params={"pattern": "pinwheel"})
    pixels = np.asarray(Image.open(io.BytesIO(picture.content)).convert("RGB"), int)
    assert (np.abs(pixels - (0x80, 0x40, 0x20)).max(axis=2) < 6).mean() > 0.1
    nothing = cloth_tried(page, cloth="background", colour="")
    page.do(view, *nothing["deeds"])
    assert ground(page) == before


def test_a_background_is_tried_from_a_square_of_any_bundle(page):
    other = page.bundle("both halves")
    square = other["squares"][0]
    told = cloth_tried(page, cloth="border", bundle=other["id"], square=square["id"])
    border = next(one for one in told["cloths"] if one["name"] == "border")
    assert border["hex"] == square["hex"]
    assert border["picture"]["of"] == f"{square['label']} of both halves"
    answer = page.browser.get(border["picture"]["href"])
    assert "immutable" in answer.headers["cache-control"]
    assert told["steps"] == []  # no set lies beside the border
    view = page.do(page.bundle(), *told["deeds"])
    assert view["undo"] == f"Border is cloth like {square['label']} of both halves"
    page.browser.request("DELETE", f"/api/bundle/{other['id']}", json={"version": other["version"]})
    kept = next(one for one in quilt(page, pattern="pinwheel")["cloths"] if one["name"] == "border")
    assert kept["hex"] == square["hex"]  # the colour stays when the bundle goes


def test_a_cloth_that_can_not_be_tried_is_told_in_a_sentence(shown):
    for choice, says in (
        ({"cloth": "velvet", "colour": "#000000"}, "no piece is cut"),
        ({"cloth": "background", "colour": "red"}, "colour"),
        ({"cloth": "background", "bundle": 1, "square": 10**9}, "not in the bundle"),
        ({}, "cloth"),
    ):
        assert says in cloth_tried(shown, 400, **choice)["problem"]
