"""The page for everyone: screen readers, light and dark, small screens, large type, touch."""

import pytest
from browser import ABOUT_COLOUR, faults
from sorting_page import middle, opened  # noqa: F401 - a fixture
from waiting import until

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect

READY = {
    "photo": "polygon.outline",
    "pair": ".board .set",
    "plan": ".results table",
    "wall": ".block",
    "take": ".files li",
    "history": ".told li",
}
HOUR = 3600.0
"""Seconds on the clock of a page, at which it is stopped: no test takes as long."""
DESK, PHONE = {"width": 1280, "height": 860}, {"width": 360, "height": 740}
LARGE = {"width": 640, "height": 430}
"""A window of 1280 by 860 pixels at 200 % zoom."""
REACHED = 24
"""Pixels that a target measures at least each way (WCAG 2.2, success criterion 2.5.8)."""
SMALL = """(least) => [...document.querySelectorAll("button, select, input, summary, #parts a")]
  .filter((one) => one.checkVisibility({ visibilityProperty: true }))
  .map((one) => [one, /checkbox|radio/.test(one.type) && one.labels[0] || one])
  .map(([one, target]) => [one, target.getBoundingClientRect()])
  .filter(([, area]) => area.width && Math.min(area.width, area.height) < least)
  .map(([one]) => one.outerHTML.slice(0, 90))"""
"""What is smaller than that; of a box to tick, its words count too."""


def everything(sheet):
    """Open each part with something in it."""
    yield "bundles"
    view = sheet.view()
    ids = [one["id"] for one in view["squares"]]
    view = sheet.server.do(
        view,
        {"kind": "mark", "squares": ids[:1], "mark": "held back", "on": True},
        {"kind": "reserve", "project": "porch quilt", "sets": [ids[4:6]]},
    )
    for part, what in READY.items():
        sheet.go(part)
        sheet.tab.locator(what).first.wait_for()
        if part == "photo":
            sheet.press("j")
            sheet.tab.locator(".panel summary").click()
            sheet.press("m")
        if part == "pair":
            tiles = sheet.tab.locator(".board .tile")
            tiles.nth(4).focus()
            sheet.press("o")
            sheet.tab.locator(".choice").first.wait_for()
            yield "partners of a square"
            tiles.nth(5).click(modifiers=["ControlOrMeta"])
            yield "several squares chosen"
            sheet.button("Rules").click()
            sheet.tab.locator(".more-rules summary").click()
        if part == "plan":
            sheet.tab.locator(".card summary").click()
            choice = sheet.tab.get_by_role("combobox", name="Pattern")
            expect(sheet.tab.locator(".results")).to_have_attribute("aria-busy", "false")
        yield part
        if part == "plan":
            choice.select_option(label="Pinwheels")
            expect(sheet.tab.get_by_role("table", name="Cutting")).to_be_visible()
            yield "plan of a pattern"
            choice.select_option("")
    sheet.press("?")
    yield "help"


def test_axe_finds_no_serious_fault(opened):  # noqa: F811 - the fixture
    sheet = opened(reduced_motion="reduce")
    for part in everything(sheet):
        for scheme, rules in (("light", ()), ("dark", ABOUT_COLOUR)):
            sheet.tab.emulate_media(color_scheme=scheme)
            assert faults(sheet.tab, *rules) == [], (part, scheme)
            sheet.shot(f"{part} {scheme}")


@pytest.mark.parametrize("window", [PHONE, LARGE], ids=["phone", "200 %"])
def test_nothing_runs_out_at_the_side_and_targets_are_large(opened, window):  # noqa: F811
    sheet = opened(viewport=window, has_touch=window is PHONE)
    for part in everything(sheet):
        wide = sheet.tab.evaluate("document.documentElement.scrollWidth")
        assert wide <= window["width"], part
        assert sheet.tab.evaluate(SMALL, REACHED) == [], part
        sheet.shot(f"{part} {window['width']}")


def test_every_control_is_reached_by_tab_and_shows_it(opened):  # noqa: F811 - the fixture
    sheet = opened(viewport=DESK)
    sheet.go("photo")
    sheet.tab.locator("polygon.outline").first.wait_for(state="attached")
    sheet.press("j")
    sheet.tab.locator(".panel h2").wait_for()
    sheet.tab.locator("#skip").focus()
    seen = set()
    for _ in range(28):
        sheet.press("Tab")
        seen.add(sheet.tab.evaluate("document.activeElement.outerHTML.slice(0, 60)"))
        outline = sheet.tab.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline != "none"
    assert len(seen) >= 24
    assert sum("handle" in one for one in seen) == 4


def test_no_colour_stands_alone(opened):  # noqa: F811 - the fixture
    sheet = opened(viewport=DESK)
    for part in ("photo", "pair"):
        sheet.go(part)
        sheet.tab.locator(READY[part]).first.wait_for(state="attached")
        if part == "pair":
            sheet.tab.locator(".board .tile").first.click()
        bare = sheet.tab.evaluate(
            """() => [...document.querySelectorAll("main :is(.palette, .tile img, .choice img)")]
              .filter((one) => !one.closest("button, li, .panel").textContent.trim()).length"""
        )
        assert bare == 0, part
        bars = sheet.tab.evaluate(
            """() => [...document.querySelectorAll("main .palette")].map((one) =>
              [one.title, getComputedStyle(one).backgroundImage])"""
        )
        assert len(bars) >= (24 if part == "photo" else 1), part
        assert all(words and image.startswith("linear-gradient") for words, image in bars), part


class Finger:
    """A finger on a touch screen."""

    def __init__(self, tab):
        self.session = tab.context.new_cdp_session(tab)

    def send(self, kind, *points):
        told = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(points)]
        self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": told})


def test_a_square_is_dragged_by_finger(opened):  # noqa: F811 - the fixture
    sheet = opened(viewport={"width": 834, "height": 1112}, has_touch=True)
    sheet.go("pair")
    sheet.tab.locator(".board .set").nth(3).wait_for()
    sets = sheet.sets()["sets"]
    one, other = sets[0]["squares"][0], sets[1]["squares"][0]
    start, end = (
        middle(sheet.tab.locator(f'.tile[data-square="{square}"]')) for square in (one, other)
    )
    finger = Finger(sheet.tab)
    finger.send("touchStart", start)
    expect(sheet.tab.locator(".tile.target")).to_have_count(1)
    for part in (0.3, 0.7, 1.0):
        finger.send("touchMove", tuple(a + part * (b - a) for a, b in zip(start, end, strict=True)))
    expect(sheet.tab.locator(".ghost")).to_be_visible()
    sheet.shot("dragged by finger")
    finger.send("touchEnd")
    sheet.said("changed places")
    assert {other, *sets[0]["squares"]} - {one} in [set(x["squares"]) for x in sheet.sets()["sets"]]


def test_a_finger_that_does_not_rest_scrolls(opened):  # noqa: F811 - the fixture
    sheet = opened(viewport=PHONE, has_touch=True)
    sheet.tab.clock.install(time=0)
    sheet.go("pair")
    tile = sheet.tab.locator(".board .tile").nth(2)
    tile.scroll_into_view_if_needed()
    before = sheet.tab.evaluate("scrollY")
    x, y = middle(tile)
    finger = Finger(sheet.tab)
    sheet.tab.clock.pause_at(HOUR)  # it never rests long enough to pick up on a slow machine
    finger.send("touchStart", (x, y))
    for step in range(1, 8):
        finger.send("touchMove", (x, y - 25 * step))
    finger.send("touchEnd")
    sheet.tab.wait_for_function("(from) => scrollY > from + 60", arg=before)
    expect(sheet.tab.locator(".ghost")).to_have_count(0)
    expect(sheet.tab.locator(".tile:is(.picked, .target)")).to_have_count(0)


def test_a_swipe_over_a_whole_photo_scrolls_and_moves_it_when_zoomed(opened):  # noqa: F811
    sheet = opened(viewport=PHONE, has_touch=True)
    sheet.go("photo")
    sheet.tab.locator("polygon.outline").nth(23).wait_for(state="attached")
    x, y = middle(sheet.tab.locator(".stage"))
    finger = Finger(sheet.tab)

    def swipe():
        finger.send("touchStart", (x, y))
        for step in range(1, 8):
            finger.send("touchMove", (x, y - 20 * step))
        finger.send("touchEnd")

    swipe()
    sheet.tab.wait_for_function("scrollY > 60")
    sheet.tab.evaluate("scrollTo(0, 0)")
    sheet.button("Nearer").click()
    sheet.button("Nearer").click()
    before = sheet.at(0, 0)[1]
    swipe()
    assert sheet.at(0, 0)[1] < before - 20
    assert sheet.tab.evaluate("scrollY") == 0


def test_by_touch_squares_are_chosen_and_change_places_after_a_look_ahead(opened):  # noqa: F811
    sheet = opened(viewport=PHONE, has_touch=True)
    sheet.go("pair")
    sheet.tab.locator(".board .set").nth(1).wait_for()
    one, other = (one["squares"][0] for one in sheet.sets()["sets"][:2])
    tiles = [sheet.tab.locator(f'.tile[data-square="{square}"]') for square in (one, other)]
    tiles[0].tap()
    sheet.button("More of it").tap()
    sheet.tab.locator(".glance").get_by_role("button", name="Change places").tap()
    sheet.said("is picked up")
    sheet.button("More of it").tap()
    tiles[1].tap()
    ahead = sheet.tab.locator(".preview")
    expect(ahead.get_by_role("heading")).to_be_visible()
    sheet.shot("looked ahead by touch")
    ahead.get_by_role("button", name="Change places").tap()
    sheet.said("changed places")
    tiles[0].tap()
    finger = Finger(sheet.tab)
    finger.send("touchStart", middle(tiles[1]))
    expect(sheet.tab.locator(".tile.target")).to_have_count(1)
    finger.send("touchEnd")
    expect(sheet.tab.locator('.tile[aria-pressed="true"]')).to_have_count(2)


def test_two_fingers_zoom_and_one_moves_a_corner(opened):  # noqa: F811 - the fixture
    sheet = opened(viewport={"width": 834, "height": 1112}, has_touch=True)
    sheet.go("photo")
    sheet.tab.locator("polygon.outline").nth(23).wait_for(state="attached")
    square = sheet.square("R2C3")
    x, y = sheet.middle_of(square)
    wide = sheet.at(100, 0)[0] - sheet.at(0, 0)[0]
    finger = Finger(sheet.tab)
    finger.send("touchStart", (x - 20, y), (x + 20, y))
    for step in (25, 30, 35, 40):
        finger.send("touchMove", (x - step, y), (x + step, y))
    finger.send("touchEnd")
    twice = pytest.approx(2 * wide, rel=0.05)
    until(lambda: sheet.at(100, 0)[0] - sheet.at(0, 0)[0] == twice)
    sheet.tab.touchscreen.tap(*sheet.middle_of(square))
    expect(sheet.tab.locator(".panel h2")).to_contain_text("R2C3")
    handle = sheet.tab.locator(".handle").nth(0)
    a, b = middle(handle)
    finger.send("touchStart", (a, b))
    for step in (4, 8, 12):
        finger.send("touchMove", (a + step, b + step))
    expect(sheet.tab.locator(".loupe")).to_be_visible()
    finger.send("touchEnd")
    sheet.said("The outline of R2C3 is put right")
