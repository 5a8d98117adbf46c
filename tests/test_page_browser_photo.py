"""Looking over the photo, each task once by pointer and once by keyboard."""

import re

import pytest
from sorting_page import middle, opened, sheet  # noqa: F401 - fixtures
from waiting import until

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
NEAR = 1.5
"""Pixels of the window within which a point stays: a wheel tells whole ones, here enlarged 2.2."""


@pytest.fixture
def photo(sheet):  # noqa: F811 - the fixture
    sheet.go("photo")
    sheet.tab.locator("polygon.outline").nth(23).wait_for(state="attached")
    return sheet


def choose(photo, label):
    photo.tab.mouse.click(*photo.middle_of(photo.square(label)))
    expect(photo.tab.locator(".panel h2")).to_contain_text(label)


def reach(photo, label):
    """Choose a square by key: from the list, without a pointer."""
    item = photo.tab.locator(".square-list button", has_text=label).first
    item.focus()
    photo.press("Enter")
    expect(photo.tab.locator(".panel h2")).to_contain_text(label)


def more(photo):
    photo.tab.locator(".panel summary").focus()
    photo.press("Enter")


def off(one, other):
    return max(abs(a - b) for a, b in zip(one, other, strict=True))


def test_the_wheel_zooms_to_the_pointer_and_a_drag_moves(photo):
    square = photo.square("R2C3")
    here = photo.middle_of(square)
    small = photo.at(100, 0)[0] - photo.at(0, 0)[0]
    photo.tab.mouse.move(*here)
    photo.tab.mouse.wheel(0, -400)
    until(lambda: photo.at(100, 0)[0] - photo.at(0, 0)[0] > 1.5 * small)
    assert off(photo.middle_of(square), here) < NEAR
    wide = photo.at(100, 0)[0] - photo.at(0, 0)[0]
    photo.drag_between(here, (here[0] - 60, here[1] - 40))
    until(lambda: off(photo.middle_of(square), (here[0] - 60, here[1] - 40)) < NEAR)
    assert photo.at(100, 0)[0] - photo.at(0, 0)[0] == pytest.approx(wide, rel=1e-4)
    photo.shot("photo zoomed")
    expect(photo.tab.locator("polygon.outline.chosen")).to_have_count(0)


def test_keys_and_buttons_zoom_and_move(photo):
    photo.tab.locator(".stage").focus()
    first = photo.at(100, 0)[0] - photo.at(0, 0)[0]
    photo.press("+", "+")
    assert photo.at(100, 0)[0] - photo.at(0, 0)[0] == pytest.approx(first * 1.25**2, rel=1e-4)
    before = photo.at(0, 0)
    photo.press("ArrowRight")
    assert photo.at(0, 0)[0] < before[0]
    photo.press("0")
    assert photo.at(100, 0)[0] - photo.at(0, 0)[0] == pytest.approx(first, rel=1e-4)
    photo.button("Nearer").click()
    photo.button("Whole photo").click()
    assert photo.at(100, 0)[0] - photo.at(0, 0)[0] == pytest.approx(first, rel=1e-4)


def test_the_doubtful_come_first_and_keys_walk_through(photo):
    first = photo.square("R3C2")

    def with_a_doubt(route):
        answer = route.fetch()
        told = answer.json()
        for one in told["squares"]:
            one["doubt"] = 0.9 if one["id"] == first["id"] else 0.0
            one["asked"] = one["id"] == first["id"]
        route.fulfill(response=answer, json=told)

    photo.tab.route(re.compile(r"/api/bundle/\d+$"), with_a_doubt)
    photo.tab.reload()
    expect(photo.tab.locator("polygon.outline.doubtful")).to_have_count(1)
    photo.press("j")
    expect(photo.tab.locator(".panel h2")).to_contain_text(first["label"])
    expect(photo.tab.locator("polygon.outline.chosen")).to_have_attribute(
        "data-square", str(first["id"])
    )
    box = photo.tab.locator(".stage").bounding_box()
    x, y = photo.middle_of(first)
    assert box["x"] < x < box["x"] + box["width"]
    assert box["y"] < y < box["y"] + box["height"]
    photo.press("j")
    expect(photo.tab.locator(".panel h2")).not_to_contain_text(first["label"])
    photo.press("k")
    expect(photo.tab.locator(".panel h2")).to_contain_text(first["label"])
    photo.press("Escape")
    expect(photo.tab.locator("polygon.outline.chosen")).to_have_count(0)


def test_a_corner_is_dragged_under_a_magnifier(photo):
    choose(photo, "R2C2")
    was = photo.square("R2C2")["corners"]
    handle = photo.tab.locator(".handle").nth(2)
    start, aim = middle(handle), photo.at(was[2][0] - 9, was[2][1] - 7)
    mouse = photo.tab.mouse
    mouse.move(*start)
    mouse.down()
    mouse.move(*aim, steps=4)
    expect(photo.tab.locator(".loupe")).to_be_visible()
    photo.shot("corner under the magnifier")
    mouse.up()
    photo.said("The outline of R2C2 is put right")
    expect(photo.tab.locator(".panel h2")).to_contain_text("R2C2")
    expect(photo.tab.locator(".loupe")).to_be_hidden()
    now = photo.square("R2C2")
    assert off(now["corners"][2], (was[2][0] - 9, was[2][1] - 7)) < 2
    assert now["corners"][0] == was[0]
    assert now["seen"]["corners"] == was
    expect(photo.tab.locator("polygon.first:not(.under)")).to_have_count(1)
    photo.press("Control+z")
    photo.said("Taken back")
    assert photo.square("R2C2")["corners"] == was
    expect(photo.tab.locator("polygon.first:not(.under)")).to_have_count(0)


def test_a_corner_is_moved_by_key(photo):
    reach(photo, "R1C2")
    was = photo.square("R1C2")["corners"]
    photo.tab.locator(".handle").nth(0).focus()
    photo.press("ArrowRight", "ArrowRight", "Shift+ArrowDown", "Enter")
    photo.said("The outline of R1C2 is put right")
    x, y = photo.square("R1C2")["corners"][0]
    assert off((x, y), (was[0][0] + 2, was[0][1] + 10)) < 0.02
    photo.tab.locator(".handle").nth(0).focus()
    photo.press("ArrowLeft", "Escape")
    shown = photo.tab.locator("polygon.outline.chosen").get_attribute("points")
    assert off(map(float, shown.split()[0].split(",")), (x, y)) < 0.02


def test_what_is_no_square_goes_and_comes_back(photo):
    choose(photo, "R4C1")
    photo.button("Not a square").click()
    photo.said("R4C1 is no square")
    expect(photo.tab.locator("polygon.outline")).to_have_count(23)
    reach(photo, "R4C2")
    photo.press("Delete")
    photo.said("R4C2 is no square")
    assert len(photo.view()["squares"]) == 22
    photo.button("Undo").click()
    photo.said("Taken back")
    photo.press("Escape")
    photo.tab.get_by_text("1 taken out").click()
    photo.button("Put R4C1 back").click()
    photo.said("R4C1 is a square again")
    assert len(photo.view()["squares"]) == 24


def test_a_missed_square_is_drawn_in_two_clicks(photo):
    square = photo.square("R2C4")
    photo.server.do(photo.view(), {"kind": "not a square", "squares": [square["id"]]})
    photo.tab.reload()
    photo.go("photo")
    expect(photo.tab.locator("polygon.outline")).to_have_count(23)
    photo.button("Draw a missed square").click()
    photo.tab.mouse.click(*photo.middle_of(square))
    expect(photo.tab.locator("polygon.proposed")).to_be_visible()
    photo.shot("missed square proposed")
    photo.tab.mouse.click(*photo.middle_of(square))
    photo.said("R2C4 is drawn")
    drawn = photo.square("R2C4")
    assert drawn["drawn"]
    side = abs(square["corners"][1][0] - square["corners"][0][0])
    for one, other in zip(drawn["corners"], square["corners"], strict=True):
        assert off(one, other) < side / 8


def test_a_missed_square_is_drawn_by_key(photo):
    square = photo.square("R3C3")
    photo.server.do(photo.view(), {"kind": "not a square", "squares": [square["id"]]})
    photo.tab.reload()
    photo.go("photo")
    photo.press("m")
    expect(photo.tab.locator("#missed-row")).to_be_focused()
    photo.press("3", "Tab", "3", "Enter")
    expect(photo.tab.locator("polygon.proposed")).to_be_visible()
    photo.press("Escape")
    expect(photo.tab.locator("polygon.proposed")).to_have_count(0)
    photo.press("m", "3", "Tab", "3", "Enter")
    expect(photo.tab.locator("polygon.proposed")).to_be_visible()
    photo.press("Enter")
    photo.said("R3C3 is drawn")
    assert photo.square("R3C3")["drawn"]


def test_what_it_serves_as_and_is_held_back_for(photo):
    choose(photo, "R1C1")
    photo.tab.get_by_label("background").click()
    photo.said("R1C1 serves as background")
    photo.button("Hold back").click()
    photo.said("held back")
    one = photo.square("R1C1")
    assert (one["role"], one["marks"]) == ("background", ["held back"])
    reach(photo, "R1C2")
    photo.tab.get_by_label("either").focus()
    photo.press("ArrowRight")
    photo.said("R1C2 serves as feature")
    photo.button("Damaged").focus()
    photo.press("Enter")
    photo.said("R1C2: damaged")
    one = photo.square("R1C2")
    assert (one["role"], one["marks"]) == ("feature", ["damaged"])


def test_all_colours_follow_what_is_white(photo):
    before = {one["label"]: one["lab"] for one in photo.view()["squares"]}
    choose(photo, "R2C4")
    more(photo)
    photo.button("This is white cloth").click()
    photo.said("All colours follow R2C4")
    now = {one["label"]: one["lab"] for one in photo.view()["squares"]}
    assert all(off(before[label], now[label]) > 0.5 for label in before)
    photo.button("This is white cloth").focus()
    photo.press("Enter")
    photo.said("Judged as before")
    assert {one["label"]: one["lab"] for one in photo.view()["squares"]} == before


def test_fabrics_are_joined_and_split(photo):
    choose(photo, "R1C1")
    more(photo)
    other = next(
        one for one in photo.view()["squares"] if one["fabric"] != photo.square("R1C1")["fabric"]
    )
    photo.tab.get_by_label("Same fabric as").select_option(str(other["id"]))
    photo.button("Join").click()
    photo.said("They are one fabric")
    assert photo.square("R1C1")["fabric"] == photo.square(other["label"])["fabric"]
    photo.button("It is a fabric of its own").focus()
    photo.press("Enter")
    photo.said("R1C1 is a fabric of its own")
    assert photo.square("R1C1")["fabric"] != photo.square(other["label"])["fabric"]


def test_it_is_called_and_put_elsewhere(photo):
    reach(photo, "R4C6")
    more(photo)
    photo.tab.get_by_label("Your name for it").fill("<b>zig & zag</b>")
    photo.press("Enter")
    photo.said("R4C6 is called <b>zig & zag</b>")
    expect(photo.tab.locator(".panel h2")).to_have_text("R4C6 (<b>zig & zag</b>)")
    photo.tab.locator(".panel").get_by_label("Row").fill("5")
    photo.tab.locator(".panel").get_by_label("Column").fill("1")
    photo.button("Put there").click()
    photo.said("It lies in row 5, column 1")
    assert photo.square("R5C1")["said"] == "<b>zig & zag</b>"


def test_two_photos_are_looked_over_in_turn(sheet):  # noqa: F811 - the fixture
    sheet.go("photo", "both halves")
    left, right = sheet.view("both halves")["photos"]
    sheet.button(right["name"]).click()
    expect(sheet.tab.locator(".layer img")).to_have_attribute("alt", f"Photo {right['name']}")
    sheet.tab.get_by_label("The squares lie on").select_option("mat")
    sheet.said("The ground is noted")
    assert [one["ground"] for one in sheet.view("both halves")["photos"]] == [None, "mat"]
    sheet.button("Take this photo out").click()
    sheet.said("is taken out")
    assert [one["id"] for one in sheet.view("both halves")["photos"]] == [left["id"]]


def test_labels_are_put_away_and_what_is_used_is_told_by_its_form(photo):
    label = photo.tab.locator(".marks .label").first
    expect(label).to_be_visible()
    photo.button("Labels").click()
    expect(label).to_be_hidden()
    view = photo.view()
    ids = [one["id"] for one in view["squares"][:3]]
    photo.server.do(
        view,
        {"kind": "mark", "squares": ids[:1], "mark": "cut", "on": True},
        {"kind": "mark", "squares": ids[1:2], "mark": "held back", "on": True},
        {"kind": "reserve", "project": "porch quilt", "sets": [ids[2:]]},
    )
    photo.tab.reload()
    photo.tab.locator("polygon.outline").nth(23).wait_for(state="attached")
    expect(label).to_be_hidden()
    for what, square in zip(("used", "aside", "reserved"), ids, strict=True):
        outline = photo.tab.locator(f"polygon.{what}.outline")
        expect(outline).to_have_attribute("data-square", str(square))
    lines = photo.tab.locator("polyline.inner:not(.under)").evaluate_all(
        "(all) => all.map((one) => one.points.numberOfItems).filter(Boolean)"
    )
    assert sorted(lines) == [2, 2, 5]
    strokes = photo.tab.locator(".marks :is(polygon, polyline)").evaluate_all(
        "(all) => [...new Set(all.map((one) => getComputedStyle(one).stroke))]"
    )
    assert set(strokes) == {"rgb(0, 0, 0)", "rgb(255, 255, 255)"}
    photo.shot("photo with used squares, labels put away")


def test_a_moved_corner_shows_at_once_and_is_measured_after(photo):
    choose(photo, "R2C2")
    was = photo.square("R2C2")["corners"][2]
    waiting = []
    photo.tab.route("**/deeds?*", lambda one: waiting.append(one))  # noqa: PLW0108 - Playwright marks what it is given
    handle = photo.tab.locator(".handle").nth(2)
    aim = photo.at(was[0] - 9, was[1] - 7)
    photo.drag_between(middle(handle), aim)
    expect(photo.tab.locator(".panel")).to_contain_text("measuring …")
    shown = photo.tab.locator("polygon.outline.chosen").get_attribute("points").split()
    assert off(map(float, shown[2].split(",")), (was[0] - 9, was[1] - 7)) < 2
    until(lambda: photo.tab.wait_for_timeout(20) or waiting)
    waiting.pop().continue_()
    photo.said("The outline of R2C2 is put right")
    expect(photo.tab.locator(".panel")).not_to_contain_text("measuring …")


def test_the_way_back_leads_to_the_square_and_the_filter(photo):
    choose(photo, "R2C2")
    photo.tab.get_by_role("link", name="Pair", exact=True).click()
    photo.tab.locator(".board .tile").nth(20).wait_for()
    photo.tab.get_by_label("Find squares").fill("R1")
    expect(photo.tab.locator(".board .tile:not(.passed)")).to_have_count(6)
    photo.tab.wait_for_function(
        "() => Object.keys(history.state ?? {}).some((key) => key.startsWith('board'))"
    )
    photo.tab.get_by_role("link", name="Wall", exact=True).click()
    photo.tab.locator("main.part-wall").wait_for()
    photo.tab.go_back()
    expect(photo.tab.locator(".board .tile:not(.passed)")).to_have_count(6)
    photo.tab.go_back()
    expect(photo.tab.locator(".panel h2")).to_have_text("R2C2")
