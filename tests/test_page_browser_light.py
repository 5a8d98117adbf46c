"""What the page tells of a photo's light, and what can be said of it."""

import json

import pytest
from sorting_page import opened, sheet  # noqa: F401 - fixtures

from catalog.bundle.photo_doubts import PHOTO_DOUBTS
from catalog.phrases import sentence

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
HIDDEN = sentence(PHOTO_DOUBTS["side not seen"])


def test_the_doubts_of_a_photo_are_told_once_and_the_lamp_is_said(sheet):  # noqa: F811
    """The view is one of a photo whose squares hide each other's sides."""

    def hidden(route):
        view = route.fetch().json()
        for photo in view["photos"]:
            photo["doubts"] = [HIDDEN]
        for one in view["squares"][:2]:
            one["fabric_doubt"] = "may be F02"
        route.fulfill(body=json.dumps(view), content_type="application/json")

    number = sheet.view()["id"]
    sheet.tab.route(f"**/api/bundle/{number}", hidden)
    sheet.go("photo")
    light = sheet.tab.locator(".light")
    expect(light).to_contain_text("All of them may be off by about")
    expect(light.get_by_text(HIDDEN)).to_have_count(1)
    sheet.tab.locator(".square-list button").first.click()
    expect(sheet.tab.locator(".panel")).to_contain_text("the photo can't tell")
    for words, lamp in (("yes", True), ("judged by the prints", None)):
        light.get_by_label("A lamp was on").select_option(words)
        sheet.said("That is noted")
        assert [one["lamp"] for one in sheet.view()["photos"]] == [lamp]
