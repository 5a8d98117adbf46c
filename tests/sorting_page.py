"""The sorting page, open in a real browser on a catalogue of the test's own."""

from __future__ import annotations

import os
import re
from contextlib import ExitStack
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from browser import visited

SHOTS = "CALICOUNT_SHOTS"
"""Environment variable: the folder in which pictures of the page are kept."""
TOLD = re.compile(
    r"Failed to load resource: .* status of (400|404|409|413)|ERR_INTERNET_DISCONNECTED"
    r"|ERR_CONNECTION_REFUSED|ERR_INCOMPLETE_CHUNKED_ENCODING"
)
"""What a browser writes to its console when the server refuses something, as it should."""
HEARD = """
addEventListener("DOMContentLoaded", () => {
  const said = document.querySelector("#said");
  window.heard = [];
  new MutationObserver((changes) => {
    for (const change of changes) for (const one of change.addedNodes) heard.push(one.textContent);
  }).observe(said, { childList: true });
});
"""
"""Keeps what the page says, which it takes back after some seconds."""
LISTENED = """(words) => {
  while (window.heard?.length) if (heard.shift().toLowerCase().includes(words)) return true;
  return false;
}"""
DOUBTS = "**/api/bundle/*/sets?doubts=1*"
"""Asked for when the page has been quiet for some seconds; the sets are then drawn anew."""
STORE = """import(document.querySelector("script[type=module]").src)
  .then(({ $modules }) => $modules["frame/store.js"])"""
"""What the page itself holds, in JavaScript."""
LAID = "() => document.querySelector('.layer')?.style.transform"


class Sheet:
    """One tab with the sorting page."""

    def __init__(self, tab, server, shots):
        self.tab, self.server, self.shots = tab, server, shots

    def go(self, part, bundle="blues"):
        """Open a part of a bundle, and wait until it is there."""
        number = next(
            one["id"] for one in self.server.get("start")["bundles"] if one["name"] == bundle
        )
        self.tab.goto(f"{self.server.origin}/#bundle/{number}/{part}")
        self.tab.locator(f"main.part-{part}").wait_for()
        if part == "photo":
            self.tab.wait_for_function(LAID)
        return self

    def view(self, bundle="blues"):
        """The bundle as the server has it."""
        return self.server.bundle(bundle)

    def square(self, label, bundle="blues"):
        """A square that counts, by its label."""
        return next(one for one in self.view(bundle)["squares"] if one["label"] == label)

    def sets(self, bundle="blues"):
        """The sets as the server chooses them."""
        return self.server.get(f"bundle/{self.view(bundle)['id']}/sets")

    def button(self, name, **more):
        """A button by its words."""
        return self.tab.get_by_role("button", name=name, **more)

    def said(self, words):
        """Wait until the page says it, or has said it since it was last asked for something."""
        self.tab.wait_for_function(LISTENED, arg=words.lower())

    def press(self, *keys):
        """Press keys, one after another."""
        for key in keys:
            self.tab.keyboard.press(key)

    def drag(self, start, end):
        """Drag by mouse from the middle of one element to the middle of another."""
        start.scroll_into_view_if_needed()
        self.drag_between(middle(start), middle(end))

    def drag_between(self, start, end):
        """Drag by mouse from one point of the window to another, in steps as a hand does."""
        mouse = self.tab.mouse
        mouse.move(*start)
        mouse.down()
        mouse.move((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, steps=3)
        mouse.move(*end, steps=3)
        mouse.up()

    def at(self, x, y):
        """Where a point of the photo is in the window."""
        return tuple(
            self.tab.evaluate(
                """([x, y]) => {
                  const layer = document.querySelector(".layer");
                  const area = layer.parentElement.getBoundingClientRect();
                  const m = new DOMMatrix(getComputedStyle(layer).transform);
                  const p = m.transformPoint(new DOMPoint(x, y));
                  return [p.x + area.left + layer.parentElement.clientLeft,
                          p.y + area.top + layer.parentElement.clientTop];
                }""",
                [x, y],
            )
        )

    def middle_of(self, square):
        """Where a square's middle is in the window."""
        xs, ys = zip(*square["corners"], strict=True)
        return self.at(sum(xs) / 4, sum(ys) / 4)

    def shot(self, name):
        """Keep a picture of the page, if pictures are wanted."""
        if self.shots is not None:
            self.shots.mkdir(parents=True, exist_ok=True)
            self.tab.screenshot(path=self.shots / f"{name}.png")


def middle(element):
    """The middle of an element in the window."""
    area = element.bounding_box()
    return area["x"] + area["width"] / 2, area["y"] + area["height"] / 2


@pytest.fixture
def opened(page, chromium):
    """Open the page in a browser of the settings given; at the end nothing went wrong in it.

    No request left the machine, and the console was silent but for refusals.
    """
    shots = Path(os.environ[SHOTS]) if os.environ.get(SHOTS) else None
    host = urlsplit(page.origin).netloc
    with ExitStack() as stack:
        visits = []

        def opening(**settings):
            settings = {"viewport": {"width": 1280, "height": 860}, **settings}
            tab, seen = stack.enter_context(visited(chromium, page.opening, HEARD, **settings))
            tab.route(DOUBTS, lambda one: one.fulfill(json={"version": -1}))  # as when too late
            visits.append(seen)
            tab.locator("main .bundle-list").wait_for()
            return Sheet(tab, page, shots)

        yield opening
        for seen in visits:
            away = [one for one in seen.asked if urlsplit(one).netloc not in {host, ""}]
            assert away == []
            assert [one for one in seen.said if not TOLD.search(one)] == []
            assert seen.opened == []


@pytest.fixture
def sheet(opened):
    """The page in a browser on a desk."""
    return opened()
