"""The wall checked by a photo on the page, in a real browser."""

from __future__ import annotations

import pytest
from sorting_page import middle, opened, sheet  # noqa: F401 - fixtures
from walls_seen import SWAPPED

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect


def test_a_photo_of_the_wall_is_checked_and_taken_as_it_hangs(sheet, hangs, wall_photo):  # noqa: F811
    hangs(**SWAPPED)
    sheet.go("wall")
    sheet.tab.locator(".block").first.wait_for()
    sheet.button("Check", exact=True).click()
    sheet.tab.get_by_label("Photo of the wall").set_input_files(wall_photo)
    moves = sheet.tab.locator(".moves li")
    expect(moves).to_have_text(["A1 and A2 have changed places (97 % sure)."])
    picture = sheet.tab.locator(".wall-found img")
    expect(picture).to_have_js_property("complete", True)
    assert picture.evaluate("(one) => one.naturalWidth") > 0
    sheet.shot("wall-check")
    sheet.button("Take it as it hangs").click()
    sheet.said("the plan follows the wall now")
    expect(sheet.button("Take it as it hangs")).to_have_count(0)
    assert sheet.view()["undo"].startswith("The plan of the wall follows what hangs at")


@pytest.mark.slow
def test_what_goes_wrong_with_a_photo_is_told(sheet, hangs, wall_photo):  # noqa: F811
    hangs(found=False)
    sheet.go("wall")
    sheet.tab.locator(".block").first.wait_for()
    sheet.button("Check", exact=True).click()
    sheet.tab.get_by_label("Photo of the wall").set_input_files(wall_photo)
    expect(sheet.tab.locator(".wall-check [role=status]")).to_contain_text("No wall found")


def hanging(sheet):  # noqa: F811 - the fixture
    sheet.go("wall")
    sheet.tab.locator(".block").first.wait_for()
    return sheet


def squares_at(sheet):  # noqa: F811 - the fixture
    told = sheet.server.post(f"bundle/{sheet.view()['id']}/quilt", {"pattern": None})
    return {
        one["place"]: [n for g in one["groups"] for n in g["squares"]] for one in told["blocks"]
    }


def test_what_a_drop_would_do_is_told_before_and_taken_back_by_one_press(sheet):  # noqa: F811
    hanging(sheet)
    before = squares_at(sheet)
    told = sheet.tab.locator(".wall-told")
    start, end = (middle(sheet.tab.locator(f'[data-key="block-{at}"]')) for at in ("A1", "B3"))
    mouse = sheet.tab.mouse
    mouse.move(*start)
    mouse.down()
    mouse.move(start[0] + 30, start[1] + 30, steps=3)
    mouse.move(*end, steps=3)
    expect(told).to_contain_text("B3: ")
    expect(told).to_contain_text("before.")
    sheet.shot("wall-before-the-drop")
    assert squares_at(sheet) == before
    mouse.up()
    expect(told).to_contain_text("A1, B3 moved; elsewhere all hangs as it did.")
    assert squares_at(sheet)["B3"] == before["A1"]
    sheet.button("Take it back").click()
    expect(told).to_contain_text("Something else hangs at A1, B3 now.")
    assert squares_at(sheet) == before


def test_sets_and_squares_are_moved_and_blocks_turned_by_key(sheet):  # noqa: F811
    hanging(sheet)
    before = squares_at(sheet)
    sheet.button("Sets", exact=True).click()
    first = sheet.tab.locator('.block[data-place="A1"]')
    first.focus()
    sheet.press("Enter", "ArrowRight")
    expect(sheet.tab.locator(".wall-told")).to_contain_text("before.")
    sheet.press("Enter")
    sheet.said("a set of A1 and one of A2 changed places")
    assert squares_at(sheet)["A2"] == before["A1"]
    sheet.button("Squares", exact=True).click()
    expect(first).to_have_count(2)
    first.first.focus()
    sheet.press("Enter")
    first.last.focus()
    sheet.press("Enter")
    sheet.said("squares in A1 changed places")
    sheet.press("r")
    sheet.said("A1 is turned")
    sheet.shot("wall-turned")


@pytest.mark.slow
def test_a_block_is_carried_by_touch_and_the_quilt_zoomed_by_two_fingers(opened):  # noqa: F811
    sheet = hanging(opened(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True))  # noqa: F811
    before = squares_at(sheet)
    start, end = (middle(sheet.tab.locator(f'[data-key="block-{at}"]')) for at in ("A1", "A2"))
    touch = sheet.tab.context.new_cdp_session(sheet.tab)

    def send(kind, *points):
        at = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})

    send("touchStart", start)
    sheet.tab.wait_for_timeout(450)
    send("touchMove", ((start[0] + end[0]) / 2, start[1]))
    send("touchMove", end)
    expect(sheet.tab.locator(".wall-told")).to_contain_text("before.")
    send("touchEnd")
    sheet.said("A1 and A2 changed places")
    assert squares_at(sheet)["A2"] == before["A1"]
    scale = (
        "() => document.querySelector('.wall-hands').style.transform.match(/scale\\((.*)\\)/)[1]"
    )
    was = float(sheet.tab.evaluate(scale))
    send("touchStart", (150, 400), (250, 400))
    for step in range(1, 6):
        send("touchMove", (150 - 15 * step, 400), (250 + 15 * step, 400))
    send("touchEnd")
    sheet.tab.wait_for_function(f"(was) => ({scale})() > 1.5 * was", arg=was)
    sheet.shot("wall-phone")


def test_a_background_is_tried_and_kept_only_when_told_so(sheet):  # noqa: F811
    number = sheet.view()["id"]
    sheet.tab.evaluate(
        """(shelf) => localStorage.setItem(shelf, '{"pattern": "pinwheel"}')""", f"wish {number}"
    )
    hanging(sheet)
    version = sheet.view()["version"]
    sheet.button("Cloths", exact=True).click()
    sheet.tab.get_by_label("From").select_option(label="both halves")
    choice = sheet.tab.locator(".cloth-choice button")
    choice.nth(5).click()
    lines = sheet.tab.locator(".cloths [role=status]")
    expect(lines).to_contain_text("stand out from it")
    sheet.shot("wall-cloth-tried")
    assert sheet.view()["version"] == version
    sheet.button("As it was").click()
    expect(lines).to_be_empty()
    sheet.tab.get_by_label("From").select_option(label="this bundle")
    choice.first.focus()
    sheet.press("Enter")
    sheet.button("Keep it").click()
    sheet.said("background is chosen")
    assert sheet.view()["undo"].startswith("Background is cloth like")
    expect(sheet.button("Choose nothing for it")).to_be_visible()
