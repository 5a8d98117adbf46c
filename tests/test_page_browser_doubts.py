"""Doubts of a photo, answered one after the other until there is nothing more to look at."""

import re

import pytest
from sorting_page import opened, sheet  # noqa: F401 - fixtures
from waiting import until

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
BUNDLE = re.compile(r"/api/bundle/\d+(/(deeds|undo|redo))?$")
QUESTION = "Does its outline go round all of its cloth?"


class Asked:
    """Stands in for the server's doubts: of a lamp and of three squares, until answered."""

    def __init__(self, sheet):  # noqa: F811 - the fixture
        view = sheet.view()
        self.sheet, self.photo = sheet, view["photos"][0]["id"]
        self.squares = [one["id"] for one in view["squares"][:3]]
        sheet.tab.route("**/doubts", self.doubts)
        sheet.tab.route(BUNDLE, self.view)

    def view(self, route):
        answer = route.fetch()
        told = answer.json()
        for one in told["squares"]:
            one["asked"] = one["id"] in self.squares
        route.fulfill(response=answer, json=told)

    def open(self):
        """What no one has answered yet, as the bundle stands."""
        view = self.sheet.view()
        there = {one["id"] for one in view["squares"] if not one["marks"]}
        return view["photos"][0]["lamp"] is None, [one for one in self.squares if one in there]

    def doubts(self, route):
        lamp, squares = self.open()
        yes = {"words": "Yes", "deeds": [{"kind": "lamp", "photo": self.photo, "lamp": True}]}
        light = {
            **{"photo": self.photo, "name": "bundle.jpg", "squares": []},
            **{
                "reason": "It looks like lamplight.",
                "question": "Was a lamp on?",
                "answers": [yes],
            },
        }
        told = {
            **{"version": self.sheet.view()["version"], "words": "Some want a look."},
            **{"left": len(squares), "photos": [light] if lamp else []},
        }
        route.fulfill(json={**told, "squares": [self.square(one) for one in squares]})

    def square(self, one):
        held = {"kind": "mark", "squares": [one], "mark": "held back", "on": True}
        answers = [
            {"words": "Right as found", "deeds": [held]},
            {"words": "Move its corners", "open": "corners"},
            {"words": "Not a square", "deeds": [{"kind": "not a square", "squares": [one]}]},
        ]
        return {
            **{"square": one, "photo": self.photo, "weight": 0.5, "answers": answers},
            **{"reason": "A side of it is hidden.", "question": QUESTION},
        }


def test_doubts_are_answered_one_by_one_and_end(sheet):  # noqa: F811 - the fixture
    asked = Asked(sheet)
    first, second, third = (
        next(one["label"] for one in sheet.view()["squares"] if one["id"] == number)
        for number in asked.squares
    )
    sheet.go("photo")
    sheet.button("Look at them").click()
    queue = sheet.tab.get_by_label("What wants a look")
    name, many = queue.get_by_role("heading", level=3), queue.get_by_role("heading", level=2)
    expect(many).to_have_text("4 things want a look")
    expect(queue).to_contain_text("Was a lamp on?")
    queue.get_by_role("button", name="Yes").click()
    expect(name).to_have_text(first)
    expect(sheet.tab.locator("polygon.outline.chosen")).to_have_attribute(
        "data-square", str(asked.squares[0])
    )
    sheet.shot("doubts asked")
    sheet.press("1")
    expect(name).to_have_text(second)
    sheet.said("right as found")
    assert asked.open()[1] == asked.squares[1:]
    queue.get_by_role("button", name="Take back the last answer").click()
    sheet.said("Taken back")
    expect(name).to_have_text(first)
    queue.get_by_role("button", name="Later").click()
    expect(name).to_have_text(second)
    queue.get_by_role("button", name="Move its corners").click()
    expect(sheet.tab.locator(".handle").first).to_be_focused()
    queue.get_by_role("button", name="Leave it as it is").click()
    sheet.press("3")
    expect(name).to_have_text(third)
    sheet.press("1")
    expect(name).to_have_text(first)
    sheet.press("1")
    expect(many).to_have_text("Nothing more to look at")
    sheet.shot("doubts ended")
    until(lambda: sheet.tab.wait_for_timeout(20) or asked.open() == (False, []))
    queue.get_by_role("button", name="Stay with the photo").click()
    expect(queue).to_be_hidden()
    expect(sheet.button("Look at them")).to_be_hidden()
