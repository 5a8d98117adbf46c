"""What is done shows before the server has answered, and goes again where the server refuses it."""

import json

import pytest
from sorting_page import LAID, STORE, Sheet, opened, sheet  # noqa: F401 - fixtures
from waiting import until

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
DEEDS = "**/deeds?*"
HAS = f"() => {STORE}.then(({{ state }}) => state.view)"
"""The bundle as a tab has it."""
NO = {"problem": "the cupboard is locked", "cure": "try later"}


@pytest.fixture
def held(sheet):  # noqa: F811 - the fixture
    """What was done and has no answer yet, as routes."""
    waiting = []
    sheet.tab.route(DEEDS, lambda one: waiting.append(one))  # noqa: PLW0108 - Playwright marks it
    return waiting


def refuse(sheet, held, code=400):  # noqa: F811 - the fixture
    until(lambda: sheet.tab.wait_for_timeout(20) or held)
    held.pop(0).fulfill(status=code, json=NO)
    expect(sheet.tab.locator("#banner")).to_contain_text("cupboard is locked")


def test_what_is_said_of_a_square_shows_at_once(sheet, held):  # noqa: F811
    sheet.go("photo")
    sheet.press("j")
    panel = sheet.tab.locator(".panel")
    label = panel.locator("h2").inner_text()
    back = sheet.button("Hold back")
    back.click()
    expect(back).to_have_attribute("aria-pressed", "true")
    expect(sheet.tab.locator("polygon.outline.aside")).to_have_count(1)
    panel.get_by_label("background").check()
    expect(panel.locator("dd", has_text="held back")).to_be_visible()
    refuse(sheet, held)
    expect(back).to_have_attribute("aria-pressed", "false")
    expect(panel.get_by_label("background")).to_be_checked()
    sheet.shot("one refused, one that waits")
    until(lambda: sheet.tab.wait_for_timeout(20) or held)
    held.pop().continue_()
    sheet.said("serves as background")
    assert sheet.square(label)["role"] == "background"
    assert sheet.square(label)["marks"] == []


def test_what_came_too_late_gives_way_to_what_the_server_has(sheet, held):  # noqa: F811
    sheet.go("photo")
    sheet.press("j")
    title = sheet.tab.locator(".panel h2")
    label = title.inner_text()
    lines = sheet.tab.locator(".square-list li")
    many = lines.count()
    sheet.press("Delete")
    expect(lines).to_have_count(many - 1)
    expect(title).not_to_have_text(label)
    sheet.server.do(sheet.view(), {"kind": "name", "squares": [sheet.square(label)["id"]],
                                   "text": "mine"})  # fmt: skip
    until(lambda: sheet.tab.wait_for_timeout(20) or held)
    held.pop().continue_()
    expect(sheet.tab.locator("#banner")).to_contain_text("changed elsewhere")
    expect(lines).to_have_count(many)
    expect(title).to_contain_text("mine")


def test_a_set_is_locked_at_once(sheet, held):  # noqa: F811
    sheet.go("pair")
    board = sheet.tab.locator(".board")
    board.locator(".set[aria-label] .tile").first.click()
    lock = sheet.tab.locator('[data-does="lock"]')
    for on in (True, False):
        lock.click()
        expect(lock).to_have_attribute("aria-pressed", str(on).lower())
        expect(board.locator(".set.locked")).to_have_count(int(on))
        if on:
            until(lambda: sheet.tab.wait_for_timeout(20) or held)
            held.pop().continue_()
            sheet.said("stays together")
    refuse(sheet, held)
    expect(board.locator(".set.locked")).to_have_count(1)


def test_a_tick_on_the_wall_shows_at_once(sheet, held):  # noqa: F811
    sheet.go("wall")
    sewing = sheet.tab.get_by_role("region", name="Sewing, row by row")
    box = sewing.locator("input").first
    box.check()
    expect(sewing.locator("h2")).to_contain_text("1 of")
    refuse(sheet, held)
    expect(box).not_to_be_checked()
    expect(sewing.locator("h2")).to_contain_text("0 of")
    box.check()
    until(lambda: sheet.tab.wait_for_timeout(20) or held)
    held.pop().continue_()
    sheet.said("sewn")
    expect(box).to_be_checked()


def test_tabs_put_together_what_changed(sheet):  # noqa: F811
    other = Sheet(sheet.tab.context.new_page(), sheet.server, sheet.shots)
    tabs = [sheet.go("photo"), other.go("photo")]
    answers = []
    for one in tabs:
        one.tab.on("response", lambda told: answers.append(told) if "since=" in told.url else None)
    sheet.press("j")
    sheet.button("Damaged").click()
    sheet.said("damaged")
    sheet.press("Delete")
    sheet.said("is no square")
    sheet.press("Control+z")
    for one in tabs:
        until(lambda one=one: one.tab.evaluate(HAS) == sheet.view())
    whole = len(json.dumps(sheet.view()))
    assert {one.request.method for one in answers} == {"GET", "POST"}
    assert len(answers[0].body()) < whole / 10
    assert all(len(one.body()) < whole for one in answers)
    sheet.tab.reload()
    sheet.tab.wait_for_function(LAID)
    sheet.press("Control+z")
    for one in tabs:
        until(lambda one=one: one.tab.evaluate(HAS) == sheet.view())
    assert all("damaged" not in one["marks"] for one in sheet.view()["squares"])


def test_what_takes_long_says_so_and_is_stopped(sheet):  # noqa: F811
    held = []
    for late in ("**/api/bundle/*/sets", "**/api/bundle/*/plan"):
        sheet.tab.route(late, lambda one: held.append(one))  # noqa: PLW0108 - Playwright marks it
    number = sheet.view()["id"]
    for part, where, again in (
        ("pair", ".changes", "Choose them"),
        ("plan", ".plan", "Count them"),
    ):
        sheet.go(part)
        sheet.button("Stop").wait_for()
        with sheet.server.state.working(sheet.server.state.kept(number)) as tell:
            tell("measuring")
            expect(sheet.tab.locator(where)).to_contain_text(": measuring …")
        sheet.shot(f"{part} takes long")
        sheet.button("Stop").click()
        expect(sheet.tab.locator(where)).to_contain_text("Stopped")
        asked = len(held)
        sheet.button(again).click()
        until(lambda asked=asked: sheet.tab.wait_for_timeout(20) or len(held) > asked)
        held[-1].continue_()
        expect(sheet.button(again)).to_have_count(0)
        expect(sheet.tab.locator(where)).not_to_contain_text("Stopped")
