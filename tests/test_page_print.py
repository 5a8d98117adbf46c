"""Printing from the page: what was chosen is on paper, and nothing of the screen."""

import pytest
from sorting_page import opened  # noqa: F401 - a fixture

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect

SHEETS = ["wall", "sewing", "cards", "cutting", "buying"]


def test_the_sheets_that_are_wanted_are_printed(opened):  # noqa: F811 - the fixture
    sheet = opened(viewport={"width": 1280, "height": 800})
    sheet.go("plan")
    sheet.tab.get_by_role("combobox", name="Pattern").select_option(label="Pinwheels")
    expect(sheet.tab.get_by_role("table", name="Cutting")).to_be_visible()
    sheet.go("take")
    printed = sheet.tab.locator("[data-sheet]")
    expect(printed).to_have_count(len(SHEETS))
    sheet.button("What to buy").click()
    expect(printed).to_have_count(len(SHEETS) - 1)
    sheet.shot("print")
    sheet.tab.emulate_media(media="print")
    for gone in ("#top", ".files", ".chips"):
        expect(sheet.tab.locator(gone)).to_be_hidden()
    assert [one.get_attribute("data-sheet") for one in printed.all()] == SHEETS[:-1]
    sewing = sheet.tab.get_by_role("table", name="Sewing, row by row")
    blocks = sewing.get_by_role("row").count() - 1
    view = sheet.view()
    plan = sheet.server.post(f"bundle/{view['id']}/plan", {"pattern": "pinwheel"})
    assert blocks == sum(bool(one["squares"]) for one in plan["wall"]["blocks"]) > 0
    expect(sheet.tab.locator(".set-cards li")).to_have_count(len(plan["sets"]))
    assert sheet.tab.pdf()[:5] == b"%PDF-"
