"""Counting, planning and the wall through the page's server."""

from __future__ import annotations

import json

import pytest

from catalog.errors import StaleError, UsageError
from catalog.pattern.pattern_file import pattern_text
from cli.page.routes.plan_routes import planned_for, request_from

pytestmark = pytest.mark.usefixtures("quickly_hung")


def planned(page, view, code=200, **body):
    return page.post(f"bundle/{view['id']}/plan", body, code)


def hung(told):
    return {block["place"]: block for block in told["wall"]["blocks"]}


def test_a_pattern_is_counted_and_hung(shown):
    view = shown.bundle()
    told = planned(shown, view, pattern="pinwheel")
    assert told["title"] == "Pinwheels"
    assert told["enough"] is False
    wheel = next(line for line in told["tally"] if line["need"] == "wheel")
    assert (wheel["needed"], wheel["on_hand"] + wheel["short"]) == (40, 40)
    assert set(wheel["squares"]) <= {one["id"] for one in view["squares"]}
    assert told["lines"][0] == "Not enough."
    assert {"size", "count", "piece"} <= set(told["cut"][0])
    assert told["buy"]
    assert told["caution"]
    assert len(told["wall"]["blocks"]) == 20
    first = told["wall"]["blocks"][0]
    assert (first["sew"], first["place"], first["done"]) == (1, "A1", False)
    number = {one["number"]: one["squares"] for one in told["sets"]}
    for block in told["wall"]["blocks"]:
        assert set(block["squares"]) == {n for which in block["sets"] for n in number[which]}


def test_how_far_the_squares_go_is_told_after_the_plan(shown):
    view = shown.bundle()
    wish = {"pattern": "pinwheel", "rows": 1, "columns": 2}
    told = planned(shown, view, **wish)
    assert told["enough"]
    before = told["before_reach"]
    assert [one.split(":")[0] for one in before] == ["The quilt", *["A step further"] * 2]
    assert not any("left over" in one for one in before)
    lines = shown.post(f"bundle/{view['id']}/reach", wish)["lines"]
    asked = [one for one in lines if not one.startswith("Your bundle could fill: ")]
    assert [one.rsplit(";", 1)[0] for one in asked] == [one.rsplit(";", 1)[0] for one in before]
    assert "left over" in lines[0]
    assert not set(lines) & set(told["lines"])


def test_how_far_they_go_is_told_of_no_plan_without_a_pattern(shown):
    view = shown.bundle()
    assert planned(shown, view, pattern=None)["before_reach"] == []
    assert shown.post(f"bundle/{view['id']}/reach", {"pattern": None})["lines"] == []


def test_every_square_of_a_block_is_told_where_it_goes(shown):
    told = planned(shown, shown.bundle(), pattern="hourglass", rows=2, columns=1)
    full = [block for block in told["wall"]["blocks"] if len(block["squares"]) > 2]
    assert full
    for block in full:
        besides = {one["square"]: one["goes"] for one in block["besides"]}
        assert set(block["squares"]) == {block["darker"], block["lighter"], *besides}
        assert all(besides.values())


def test_sets_alone_hang_too(shown):
    told = planned(shown, shown.bundle(), pattern=None)
    hanging = {number for block in told["wall"]["blocks"] for number in block["sets"]}
    shown_as = {one["number"]: one["difference"] for one in told["sets"]}
    assert len(hanging) == told["tally"][0]["on_hand"] // 2
    rounding = 0.05
    assert all(shown_as[number] <= 10 + rounding for number in hanging)
    assert all(shown_as[number] >= 10 - rounding for number in shown_as.keys() - hanging)
    assert told["cut"] == []
    assert told["orders"][0]["name"] == "rainbow-across"


def test_rows_columns_seam_and_order_are_ones_own(shown):
    view = shown.bundle()
    told = planned(shown, view, pattern="four-patch", rows=2, columns=3, order="scattered")
    assert (told["rows"], told["columns"], told["wall"]["order"]) == (2, 3, "scattered")
    needs = {line["need"]: line["needed"] for line in told["tally"]}
    assert needs == {"patch": 12, "background": 12, "cornerstone": 3 * 4}
    thin = planned(shown, view, pattern="four-patch", rows=2, columns=3, seam="1/8")
    assert thin["wall"]["block_in"] == pytest.approx(told["wall"]["block_in"] + 0.5)


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ({"pattern": "no such"}, "no pattern is called"),
        ({"pattern": "/etc/hostname"}, "no pattern is called"),
        ({"pattern": "../example.toml"}, "no pattern is called"),
        ({"pattern": 5}, "that is no pattern"),
        ({"pattern": {"form": {}}}, "that is no pattern"),
        ({"pattern": {"text": 5}}, "that is no pattern"),
        ({"pattern": {"text": "title = 1"}}, "your pattern, line 1, field title"),
        ({"pattern": {"text": "x" * 300_000}}, "that is no pattern"),
        ({"pattern": "pinwheel", "rows": 3}, "rows and columns"),
        ({"pattern": "pinwheel", "rows": 3, "columns": True}, "rows and columns"),
        ({"pattern": "pinwheel", "rows": 10**9, "columns": 1}, "rows and columns"),
        ({"pattern": "pinwheel", "seam": "wide"}, "wide"),
        ({"pattern": "pinwheel", "seam": "3"}, "too wide"),
        ({"pattern": "pinwheel", "seam": [1]}, "no length"),
        ({"pattern": "pinwheel", "order": "random"}, "no such order"),
        ({"pattern": "pinwheel", "order": ["scattered"]}, "no such order"),
    ],
)
def test_what_can_not_be_planned_is_refused_in_a_sentence(shown, body, says):
    told = planned(shown, shown.bundle(), code=400, **body)
    assert says in told["problem"]


def test_a_block_dragged_elsewhere_stays_there_and_ticks_stay(page):
    view = page.bundle()
    told = planned(page, view, pattern=None)
    wall, before = told["wall"]["key"], hung(told)
    one, two = before["A1"]["squares"], before["B2"]["squares"]
    view = page.do(
        view, {"kind": "hang", "wall": wall, "swap": ["A1", "B2"], "squares": [one, two]}
    )
    view = page.do(view, {"kind": "hang", "wall": wall, "done": "A1", "on": True, "squares": two})
    now = hung(planned(page, view, pattern=None))
    assert (now["A1"]["squares"], now["B2"]["squares"]) == (two, one)
    assert [place for place, block in now.items() if block["done"]] == ["A1"]
    assert now["A1"]["darker_goes"] == before["A1"]["darker_goes"]
    assert [block["sew"] for block in now.values()] == list(range(1, len(now) + 1))
    other = hung(planned(page, view, pattern=None, order="scattered"))
    assert not any(block["done"] for block in other.values())
    view = page.post(f"bundle/{view['id']}/undo", {"version": view["version"]})
    view = page.post(f"bundle/{view['id']}/undo", {"version": view["version"]})
    assert hung(planned(page, view, pattern=None)) == before


def test_a_sewn_block_stays_where_it_is_when_other_sets_change(page):
    view = page.bundle()
    told = planned(page, view, pattern=None)
    wall, before = told["wall"]["key"], hung(told)
    place = next(p for p, block in before.items() if block["squares"] and p != "A1")
    sewn = before[place]["squares"]
    view = page.do(view, {"kind": "hang", "wall": wall, "done": place, "on": True, "squares": sewn})
    rest = [b["squares"] for p, b in before.items() if p != place and b["squares"]]
    view = page.do(view, {"kind": "lock", "sets": [sewn, [rest[0][0], rest[-1][0]]]})
    now = hung(planned(page, view, pattern=None))
    assert now != before
    assert set(now[place]["squares"]) == set(sewn)
    assert [at for at, block in now.items() if block["done"]] == [place]


def test_the_wall_is_a_picture(shown):
    view = shown.bundle()
    query = {
        "pattern": json.dumps({"text": pattern_text("four-patch")}),
        "rows": "2",
        "columns": "2",
    }
    answer = shown.browser.get(f"/api/bundle/{view['id']}/wall.jpg", params=query)
    assert answer.status_code == 200
    assert answer.content[:3] == b"\xff\xd8\xff"
    bad = shown.browser.get(f"/api/bundle/{view['id']}/wall.jpg", params={"rows": "many"})
    assert bad.status_code == 400


def test_the_cutting_plans_are_a_picture_and_what_it_shows_is_said(shown):
    view = shown.bundle()
    told = planned(shown, view, pattern="four-patch")
    assert "How background is cut up: 3 strips." in told["cut_up"]
    (ground,) = [one for one in told["buy"] if one["cloth"] == "background"]
    assert "2 fat quarters, 16 from each, 32 percent of them wasted" in ground["instead"]
    assert any(line.startswith("The squares: 1 pack of 5 in squares") for line in told["lines"])
    address = f"/api/bundle/{view['id']}/cutting-plan.jpg"
    answer = shown.browser.get(address, params={"pattern": "four-patch"})
    assert answer.status_code == 200
    assert answer.content[:3] == b"\xff\xd8\xff"
    assert shown.browser.get(address).status_code == 404
    assert planned(shown, view)["cut_up"] == ""


def test_cloth_may_be_bought_ready_cut_and_pinked_edges_measured_at_their_tips(shown):
    view = shown.bundle()
    assert "fat quarters" in shown.get("start")["precuts"]
    told = planned(shown, view, pattern="four-patch", precut="fat quarters")
    (ground,) = [one for one in told["buy"] if one["cloth"] == "background"]
    assert ground["words"].startswith("2 fat quarters, 16 from each")
    assert ground["instead"] == []
    tips = planned(shown, view, pattern="pinwheel", pinked="tips")
    assert any("from tip to tip, so that" in line for line in tips["lines"])
    assert any("4 3/4" in one["size"] for one in tips["cut"])
    planned(shown, view, 400, pattern="four-patch", precut="tea towels")
    planned(shown, view, 400, pattern="four-patch", precut=[1])


def test_a_set_taken_apart_is_planned_without_it(page):
    view = page.bundle()
    told = planned(page, view, pattern="pinwheel")
    gone = told["sets"][0]["squares"]
    view = page.do(view, {"kind": "take apart", "squares": gone})
    again = planned(page, view, pattern="pinwheel")
    assert set(gone) not in [set(one["squares"]) for one in again["sets"]]
    assert len(again["wall"]["blocks"]) == 20


def test_a_lock_that_the_pattern_has_no_place_for_is_said_beside_the_plan(page):
    view = page.bundle()
    three = [one["id"] for one in view["squares"][:3]]
    view = page.do(view, {"kind": "rules", "set_size": 3})
    view = page.do(view, {"kind": "lock", "sets": [three]})
    told = planned(page, view, pattern="pinwheel")
    assert any("asked for wait: R1C1 + R1C2 + R1C3" in line for line in told["lines"])
    assert len(told["wall"]["blocks"]) == 20


def test_sets_that_do_not_count_are_marked_in_the_plan_too(page):
    view = page.bundle()
    lightness = sorted((one["lab"][0], one["id"]) for one in view["squares"])
    far = [lightness[0][1], lightness[-1][1]]
    view = page.do(view, {"kind": "lock", "sets": [far]})
    told = planned(page, view, pattern="pinwheel")
    loose = [one for one in told["sets"] if not one["counts"]]
    assert set(far) in [set(one["squares"]) for one in loose]
    served = {n for line in told["tally"] for n in line["squares"]}
    assert all(set(one["squares"]) <= served for one in told["sets"] if one["counts"])
    assert any("too far apart to count" in line for line in told["lines"])


def test_a_plan_that_was_overtaken_is_ended(page):
    """By the time it is to be counted, or while it is, somebody has changed the bundle."""
    view = page.bundle()
    kept = page.state.kept(view["id"])
    still = page.state.unless_overtaken(kept)
    steps = []

    def told(step):
        steps.append(step)
        if step == "planning":
            page.do(view, {"kind": "name", "squares": [view["squares"][0]["id"]], "text": "mine"})
        still(step)

    with page.state.catalogue() as catalogue:
        request = request_from({"pattern": "pinwheel"}, kept, catalogue)
    with pytest.raises(StaleError, match="changed meanwhile"):
        planned_for(kept, request, told)
    assert steps == ["choosing the sets", "planning"]
    page.post(f"bundle/{view['id']}/plan", {"pattern": "pinwheel"})


def test_long_work_is_told_and_can_be_stopped(page):
    view = page.bundle()
    kept, heard = page.state.kept(view["id"]), []
    told = page.state.events.tell
    page.state.events.tell = lambda name, value, about="": (
        heard.append(value["words"]) if name == "work" else told(name, value, about)
    )
    page.get(f"bundle/{view['id']}/sets")
    page.post(f"bundle/{view['id']}/plan", {"pattern": "pinwheel"})
    assert heard[:3] == ["choosing the sets", "choosing the sets", "planning"]
    with page.state.working(kept) as tell:
        tell("choosing the sets")
        page.post(f"bundle/{view['id']}/stop", {})
        with pytest.raises(UsageError, match="was stopped"):
            tell("planning")
    with page.state.working(kept) as tell:
        tell("choosing the sets")
