"""From an open bundle to "enough or short" for a quilt of one's own, drawn on the page."""

import json
import re
from fractions import Fraction

import pytest
from sorting_page import opened, sheet  # noqa: F401 - fixtures

from catalog.pattern.patterns import read_pattern

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
MOST_ACTIONS = 40


class Hand:
    """What a person does, counted: each press, choice or filled field is one action."""

    def __init__(self, sheet):  # noqa: F811 - the fixture
        self.sheet, self.tab, self.actions = sheet, sheet.tab, 0

    def press(self, role, name, within=None):
        self.actions += 1
        exact = isinstance(name, str)
        (within or self.tab).get_by_role(role, name=name, exact=exact).first.click()

    def choose(self, label, option):
        self.actions += 1
        self.tab.get_by_label(label, exact=True).first.select_option(option)

    def fill(self, label, text):
        self.actions += 1
        field = self.tab.get_by_label(label, exact=True).first
        field.fill(text)
        field.blur()
        self.settled()

    def tap(self, row, column, across=3):
        """Tap a cell of the block."""
        self.actions += 1
        area = self.tab.locator(".block-drawing").bounding_box()
        cell = area["width"] / across
        self.tab.mouse.click(area["x"] + (column + 0.3) * cell, area["y"] + (row + 0.3) * cell)
        self.settled()

    def settled(self):
        self.tab.wait_for_timeout(250)
        expect(self.tab.locator(".pattern-bar .primary")).to_be_enabled()


def test_a_sampler_is_drawn_and_counted_in_forty_actions(sheet):  # noqa: F811 - the fixture
    hand = Hand(sheet.go("photo"))
    hand.press("link", "Plan")
    hand.press("link", "Draw a pattern")
    hand.tab.locator(".quilt-drawing").wait_for()
    sheet.shot("pattern new")
    hand.fill("Title", "Sampler of three units")
    hand.choose("Copy what I do", "quarter")
    hand.press("button", "half square triangle")
    hand.tap(0, 0)
    hand.press("button", "quarter square triangle")
    hand.tap(0, 1)
    hand.fill("Rows of blocks", "3")
    hand.fill("Columns of blocks", "2")
    hand.press("button", "Add sashing")
    hand.fill("Width, finished", "1 1/2")
    hand.press("button", "Add a border")
    hand.fill("Border 1, width finished", "1 1/2")
    hand.press("button", "Add a border")
    hand.fill("Border 2, width finished", "4")
    hand.press("button", re.compile("^Make the block"))
    hand.settled()
    sheet.shot("pattern drawn")
    has = len(sheet.view()["squares"])
    expect(hand.tab.locator(".quilt-size")).to_contain_text(f"and blues has {has}")
    hand.press("button", "Is blues enough?")
    verdict = hand.tab.locator(".verdict")
    expect(verdict).to_have_text(re.compile("^(Enough|Not enough)"))
    sheet.shot("pattern counted")
    assert hand.actions <= MOST_ACTIONS
    kept = hand.tab.evaluate("(id) => localStorage.getItem(`wish ${id}`)", sheet.view()["id"])
    text = json.loads(kept)["pattern"]["text"]
    told = sheet.server.post(f"bundle/{sheet.view()['id']}/plan", {"pattern": {"text": text}})
    assert verdict.inner_text() == told["lines"][0]
    quilt = read_pattern(text, "drawn").quilt
    assert {unit.unit for unit in quilt.units} == {
        *("square", "half-square-triangle", "quarter-square-triangle"),
    }
    assert (quilt.rows, quilt.columns, len(quilt.borders)) == (3, 2, 2)
    assert max(kind.size for kind in quilt.kinds if kind.source == "bundle") <= 5
    assert [one.width for one in quilt.borders] == [Fraction(3, 2), 4]
    assert quilt.sashing.width == Fraction(3, 2)
