"""The wall checked by a photo on the page, in a real browser."""

from __future__ import annotations

import pytest
from sorting_page import opened, sheet  # noqa: F401 - fixtures
from walls_seen import SWAPPED

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect


def test_a_photo_of_the_wall_is_checked_and_taken_as_it_hangs(sheet, hangs, wall_photo):  # noqa: F811
    hangs(**SWAPPED)
    sheet.go("wall")
    sheet.tab.locator(".block").first.wait_for()
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
    sheet.tab.get_by_label("Photo of the wall").set_input_files(wall_photo)
    expect(sheet.tab.locator(".wall-check [role=status]")).to_contain_text("No wall found")
