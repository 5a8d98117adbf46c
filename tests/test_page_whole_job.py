"""The whole job, from the first photo to the printed list, by pointer, by key and by finger."""

import pytest
from browser import faults
from sorting_page import opened  # noqa: F401 - a fixture

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect

BUNDLE = "from the attic"
HANDS = {
    "pointer": {"viewport": {"width": 1280, "height": 800}},
    "keyboard": {"viewport": {"width": 1024, "height": 768}, "color_scheme": "dark"},
    "finger": {"viewport": {"width": 390, "height": 844}, "has_touch": True},
}


class Person:
    """Somebody who uses the page in one way only."""

    def __init__(self, sheet, hand):
        self.sheet, self.tab, self.hand = sheet, sheet.tab, hand

    def use(self, what):
        """Press something."""
        if self.hand == "finger":
            what.tap()
        elif self.hand == "pointer":
            what.click()
        else:
            what.focus()
            self.tab.keyboard.press("Enter")

    def go(self, part):
        """Follow the way to a part of the work."""
        self.use(self.tab.get_by_role("navigation").get_by_role("link", name=part, exact=True))
        expect(self.tab.locator("#main")).to_be_focused()
        self.sheet.shot(f"whole job {self.hand} {part}")


def adds_photo(person, photo):
    person.tab.get_by_label("Add photos", exact=True).set_input_files(photo)
    person.tab.get_by_label("Name of the bundle").fill(BUNDLE)
    person.use(person.sheet.button("Add it"))
    person.tab.locator("main.part-photo").wait_for()
    expect(person.tab.locator("h1")).to_have_text(BUNDLE)


def locks_set(person):
    person.go("Pair")
    first = person.tab.locator(".board .set:not([data-set='']) .tile").first
    first.wait_for()
    square = int(first.get_attribute("data-square"))
    person.use(first)
    if person.hand == "finger":
        person.use(person.tab.locator(".side [aria-expanded]"))
    person.use(person.tab.locator(".side").get_by_role("button", name="Lock", exact=True))
    person.sheet.said("stays together")
    assert any(square in lock for lock in person.sheet.view(BUNDLE)["locks"])


def chooses_pattern(person):
    person.go("Plan")
    person.tab.get_by_role("combobox", name="Pattern").select_option("pinwheel")
    expect(person.tab.locator(".results")).to_have_attribute("aria-busy", "false")
    expect(person.tab.locator(".verdict")).to_contain_text("enough", ignore_case=True)
    expect(person.tab.get_by_role("table", name="Cutting")).to_be_visible()


def sews_block(person):
    person.go("Wall")
    box = person.tab.get_by_role("checkbox").first
    box.wait_for()
    if person.hand == "keyboard":
        box.focus()
        person.tab.keyboard.press("Space")
    else:
        person.use(box)
    person.sheet.said("sewn")


def prints(person):
    person.go("Take along")
    expect(person.tab.locator("[data-sheet]")).to_have_count(5)
    assert person.tab.evaluate("document.documentElement.scrollWidth") <= person.tab.evaluate(
        "innerWidth"
    )
    assert faults(person.tab) == []
    person.tab.evaluate("window.print = () => { window.printed = true; }")
    person.use(person.sheet.button("Print"))
    assert person.tab.evaluate("window.printed")


@pytest.mark.parametrize(
    "hand",
    ["finger", *(pytest.param(one, marks=pytest.mark.slow) for one in ("pointer", "keyboard"))],
)
def test_from_the_first_photo_to_the_printed_list(opened, small_photo, hand):  # noqa: F811
    person = Person(opened(**HANDS[hand]), hand)
    adds_photo(person, small_photo)
    locks_set(person)
    chooses_pattern(person)
    sews_block(person)
    prints(person)
