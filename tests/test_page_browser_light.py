"""What the page asks of the light, answered once."""

import json

import pytest
from sorting_page import opened, sheet  # noqa: F401 - fixtures

from catalog.bundle.photo_doubts import PHOTO_DOUBTS
from catalog.light_questions import LIGHT_QUESTIONS
from catalog.phrases import sentence

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
HIDDEN = sentence(PHOTO_DOUBTS["side not seen"])


def test_the_question_is_answered_by_a_button_and_the_doubts_are_told_once(sheet):  # noqa: F811
    """The view is one of a photo by a lamp, whose squares hide each other's sides."""
    asked = LIGHT_QUESTIONS["lamp"]

    def lamplit(route):
        view = route.fetch().json()
        for photo in view["photos"]:
            if photo["lamp"] is None:
                answers = [
                    {"words": one.words,
                     "event": {"kind": "lamp", "photo": photo["id"], "lamp": one.lamp}}
                    for one in asked.answers
                ]  # fmt: skip
                photo["question"] = {"words": asked.words, "answers": answers}
            photo["doubts"] = [HIDDEN]
        for one in view["squares"][:2]:
            one["fabric_doubt"] = "may be F02"
        route.fulfill(body=json.dumps(view), content_type="application/json")

    number = sheet.view()["id"]
    sheet.tab.route(f"**/api/bundle/{number}", lamplit)
    sheet.go("photo")
    light = sheet.tab.locator(".light")
    expect(light).to_contain_text("All of them may be off by about")
    expect(light.get_by_text(HIDDEN)).to_have_count(1)
    expect(sheet.tab.get_by_role("group", name=asked.words)).to_be_visible()
    sheet.tab.locator(".square-list button").first.click()
    expect(sheet.tab.locator(".panel")).to_contain_text("the photo can't tell")
    sheet.shot("photo asked")
    sheet.tab.get_by_role("button", name="Yes").click()
    sheet.said("That is noted")
    assert [one["lamp"] for one in sheet.view()["photos"]] == [True]
    expect(sheet.tab.get_by_role("group", name=asked.words)).to_have_count(0)
    expect(light.get_by_label("A lamp was on")).to_have_value("yes")
    light.get_by_label("A lamp was on").select_option("judged by the prints")
    sheet.said("That is noted")
    assert [one["lamp"] for one in sheet.view()["photos"]] == [None]
