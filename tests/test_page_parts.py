"""The look of the page, held without eyes: boxes, contrast, chroma, sizes of type."""

import re
from functools import partial
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from browser import faults
from sorting_page import opened  # noqa: F401 - a fixture

from catalog.colour.lab import srgb8_to_lab

pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")

PARTS = Path(__file__).with_name("page_parts")
FILES = (("/parts", "parts.html", "text/html"), (r"/parts\.js", "parts.js", "text/javascript"))
WINDOWS = ((1280, 800), (1024, 768), (390, 844))
READABLE = 4.5
"""Contrast of text against what lies behind it (WCAG 2.2, success criterion 1.4.3)."""
NEUTRAL = 1.0
"""CIELAB chroma below which a surround tints nothing that is judged before it."""
TALLEST_HEADER = 56
BOXES = """() => [...document.querySelectorAll("[data-part]")].map((one) => {
  const box = one.getBoundingClientRect();
  const name = one.textContent.slice(0, 30) || one.outerHTML.slice(0, 60);
  return [name, box.left, box.top, box.right, box.bottom];
})"""
SEEN = """() => {
  const canvas = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });
  const rgba = (colour) => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data];
  };
  const behind = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const [r, g, b, a] = rgba(getComputedStyle(at).backgroundColor);
      if (a === 255) return [r, g, b];
    }
    return [255, 255, 255];
  };
  const accent = rgba(getComputedStyle(document.querySelector("#accent-here")).color).slice(0, 3);
  const found = [];
  for (const one of document.querySelectorAll("body *")) {
    const shown = one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
    if (!shown || one.closest("svg, :disabled, .quiet")) continue;
    const own = [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
    const style = getComputedStyle(one);
    found.push({
      what: one.outerHTML.slice(0, 80), text: own,
      ink: rgba(style.color).slice(0, 3), ground: behind(one),
      size: own ? style.fontSize : "", accent,
    });
  }
  return found;
}"""
ACCENT = """() => {
  const one = document.createElement("i");
  one.id = "accent-here";
  one.style.color = "var(--accent)";
  document.body.append(one);
}"""


def contrast(ink, ground):
    """The contrast ratio of two sRGB colours of 8 bits (WCAG 2.2)."""
    levels = np.array([ink, ground]) / 255.0
    linear = np.where(levels <= 0.04045, levels / 12.92, ((levels + 0.055) / 1.055) ** 2.4)
    dark, light = sorted(linear @ (0.2126, 0.7152, 0.0722))
    return (light + 0.05) / (dark + 0.05)


def looked_at(tab):
    """What is seen of a page's elements."""
    if not tab.locator("#accent-here").count():
        tab.evaluate(ACCENT)
    return tab.evaluate(SEEN)


def held(seen, where):
    """Hold what is seen to readable words, four sizes of type and neutral grounds."""
    texts = [one for one in seen if one["text"]]
    faint = [x["what"] for x in texts if contrast(x["ink"], x["ground"]) < READABLE]
    assert faint == [], where
    assert len({one["size"] for one in texts}) <= 4, where
    grounds = np.array([x["ground"] for x in seen if x["ground"] != x["accent"]], np.uint8)
    chroma = np.hypot(*srgb8_to_lab(grounds)[:, 1:].T)
    assert chroma.max() < NEUTRAL, (where, grounds[chroma.argmax()])


def given(route, **what):
    """Answer a browser's request."""
    route.fulfill(**what)


@pytest.fixture
def parts(opened):  # noqa: F811 - the fixture
    """A page with every component."""
    sheet = opened(reduced_motion="reduce")
    for path, name, kind in FILES:
        give = {"body": (PARTS / name).read_text(), "content_type": kind}
        sheet.tab.route(re.compile(rf"{path}$"), partial(given, **give))
    sheet.tab.goto(f"{sheet.server.origin}/parts")
    sheet.tab.locator("body[data-ready]").wait_for()
    return sheet


def test_components_are_neutral_readable_and_apart(parts):
    tab = parts.tab
    for wide, high in WINDOWS:
        tab.set_viewport_size({"width": wide, "height": high})
        boxes = tab.evaluate(BOXES)
        assert len(boxes) > 50
        over = [
            (a[0], b[0])
            for a, b in combinations(boxes, 2)
            if min(a[3], b[3]) - max(a[1], b[1]) > 1 and min(a[4], b[4]) - max(a[2], b[2]) > 1
        ]
        assert over == [], wide
        assert tab.evaluate("document.documentElement.scrollWidth") <= wide
        for scheme in ("light", "dark"):
            tab.emulate_media(color_scheme=scheme)
            held(looked_at(tab), (wide, scheme))
            parts.shot(f"parts {wide} {scheme}")
    assert faults(tab) == []


def test_a_button_keeps_its_room_when_its_word_changes(parts):
    words = parts.tab.locator("#words")
    before = words.bounding_box()
    words.click()
    assert words.get_attribute("aria-label") == "Take the lock off"
    assert words.bounding_box() == before


def test_the_head_is_low_and_every_view_is_quiet(opened):  # noqa: F811 - the fixture
    sheet = opened(reduced_motion="reduce", viewport={"width": 1280, "height": 800})
    for part in ("photo", "pair", "plan", "wall", "take", "history"):
        sheet.go(part)
        assert sheet.tab.locator("#top").bounding_box()["height"] <= TALLEST_HEADER
        assert sheet.tab.locator("main button.primary:visible").count() <= 1, part
        held(looked_at(sheet.tab), part)
