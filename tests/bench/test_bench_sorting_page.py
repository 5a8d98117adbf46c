"""How soon the sorting page answers, measured in a browser; run with ``--benchmark-only``.

Each figure is what a person sees: from the input to the frame that shows its answer.
"""

from __future__ import annotations

import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest
from browser import chromium, visited  # noqa: F401 - a fixture
from drawn import looked_at, measured
from sorting_page import Sheet, middle

from catalog import analysis
from catalog.analysis import analyse_photo
from catalog.catalogue.bundle_catalogue import Catalogue

DRAG_WITHIN, AT_ONCE, PAIRED_WITHIN, MANY_WITHIN = 50.0, 100.0, 200.0, 1000.0
"""Milliseconds: a drag; what a press shows; new sets of 100 squares; a part of the page with
1,000 squares."""
ROUNDS = 15
FRAMES = """(kind) => {
  window.frames_ = [];
  addEventListener(kind, (event) => {
    const from = event.timeStamp;
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => window.frames_.push(performance.now() - from);
      port2.postMessage(0);
    });
  }, true);
}"""
"""Note for each event how long it took until the frame after it was made."""
PAIRED = """() => {
  window.paired_ = [];
  let from = 0;
  addEventListener("input", (event) => { from = event.timeStamp; }, true);
  new MutationObserver(() => {
    if (!from) return;
    const last = from;
    from = 0;
    requestAnimationFrame(() => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => window.paired_.push(performance.now() - last);
      port2.postMessage(0);
    });
  }).observe(document.querySelector(".changes"), { childList: true });
}"""
SHOWN = """([link, what]) => new Promise((done) => {
  const from = performance.now();
  const look = () => {
    if (document.querySelectorAll(what).length > 10) {
      requestAnimationFrame(() => setTimeout(() => done(performance.now() - from), 0));
    } else requestAnimationFrame(look);
  };
  [...document.querySelectorAll("#parts a")].find((one) => one.textContent === link).click();
  look();
})"""


class Server:
    """The page's server in a process of its own, as a person runs it."""

    def __init__(self, opening):
        self.opening, self.origin = opening, opening.split("/?")[0]
        self.browser = httpx.Client(base_url=self.origin, trust_env=False, timeout=60)
        self.browser.get(opening)

    def get(self, path):
        return self.browser.get(f"/api/{path}").json()


@contextmanager
def serving(catalogue):
    words = ["-m", "cli.start", "open", "--no-browser", "--catalogue", str(catalogue)]
    root = Path(__file__).parents[2]
    with subprocess.Popen(
        [sys.executable, *words], cwd=root, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as process:
        server = Server(process.stdout.readline().decode().strip())
        try:
            yield server
        finally:
            server.browser.close()
            process.terminate()


@pytest.fixture(scope="module")
def hundred(tmp_path_factory, sample_photos, chromium):  # noqa: F811 - the fixture
    """A bundle of 100 squares whose photo has 12 megapixels."""
    folder = tmp_path_factory.mktemp("hundred")
    content = enlarged(sample_photos / "rainbow_tonals_10x10.jpg")
    with Catalogue(folder / "own.catalogue") as catalogue:
        catalogue.add("blues", None, [(analyse_photo(content, "rainbow.jpg", 5.0), content)])
    with serving(folder / "own.catalogue") as page, visited(chromium, page.opening) as (tab, _):
        yield Sheet(tab, page, folder)


@pytest.fixture(scope="module")
def thousand(tmp_path_factory, chromium):  # noqa: F811 - the fixture
    """A bundle of 1,000 squares drawn by chance, on four photos."""
    folder = tmp_path_factory.mktemp("thousand")
    with pytest.MonkeyPatch.context() as patch, Catalogue(folder / "own.catalogue") as catalogue:
        patch.setattr(analysis, "remeasure_photo", measured)
        patch.setattr(analysis, "with_joined_lights", lambda looked, content_of, **_: tuple(looked))
        catalogue.add("blues", None, [looked_at(seed, 10, 25) for seed in range(4)])
    with serving(folder / "own.catalogue") as page, visited(chromium, page.opening) as (tab, _):
        yield Sheet(tab, page, folder)


def enlarged(path):
    """A photo at 12 megapixels, as phones take them."""
    import io

    from PIL import Image

    wide, out = 4032, io.BytesIO()
    with Image.open(path) as photo:
        large = photo.resize((wide, round(wide * photo.height / photo.width)))
    large.save(out, "JPEG", quality=88)
    return out.getvalue()


def told(benchmark, times, within):
    """Hand the figures to pytest-benchmark, and hold the median to its bound."""
    times = sorted(times)
    benchmark.extra_info["milliseconds"] = [round(one) for one in times]
    waits = iter(times)
    benchmark.pedantic(lambda: next(waits), rounds=1)
    median = times[len(times) // 2]
    print(f"\n{benchmark.name}: median {median:.0f} ms, worst {times[-1]:.0f} ms of {len(times)}")  # noqa: T201
    assert median < within
    return median


def test_a_corner_follows_the_pointer(benchmark, hundred):
    hundred.go("photo")
    hundred.tab.locator("polygon.outline").nth(99).wait_for(state="attached")
    hundred.press("j")
    x, y = middle(hundred.tab.locator(".handle").nth(0))
    hundred.tab.evaluate(FRAMES, "pointermove")
    hundred.tab.mouse.move(x, y)
    hundred.tab.mouse.down()
    for step in range(ROUNDS * 2):
        hundred.tab.mouse.move(x + step % 12, y + step % 7)
        hundred.tab.wait_for_timeout(20)
    hundred.press("Escape")
    hundred.tab.mouse.up()
    told(benchmark, hundred.tab.evaluate("window.frames_"), DRAG_WITHIN)


def test_the_photo_moves_and_zooms(benchmark, hundred):
    hundred.go("photo")
    x, y = middle(hundred.tab.locator(".stage"))
    hundred.tab.evaluate(FRAMES, "wheel")
    hundred.tab.mouse.move(x, y)
    for step in range(ROUNDS):
        hundred.tab.mouse.wheel(0, -150 if step % 10 < 5 else 150)
        hundred.tab.wait_for_timeout(40)
    told(benchmark, hundred.tab.evaluate("window.frames_"), DRAG_WITHIN)


def test_a_square_follows_the_pointer(benchmark, hundred):
    hundred.go("pair")
    pieces = hundred.tab.locator(".board .tile")
    pieces.nth(10).wait_for()
    (x, y), (to_x, to_y) = middle(pieces.nth(0)), middle(pieces.nth(5))
    hundred.tab.mouse.move(x, y)
    hundred.tab.mouse.down()
    hundred.tab.mouse.move(x + 10, y + 10)
    hundred.tab.evaluate(FRAMES, "pointermove")
    for step in range(ROUNDS * 2):
        part = step / (ROUNDS * 2)
        hundred.tab.mouse.move(x + part * (to_x - x), y + part * (to_y - y))
        hundred.tab.wait_for_timeout(20)
    hundred.press("Escape")
    hundred.tab.mouse.up()
    told(benchmark, hundred.tab.evaluate("window.frames_"), DRAG_WITHIN)


def test_100_squares_are_paired_again(benchmark, hundred):
    hundred.go("pair")
    hundred.tab.locator(".board .set").nth(40).wait_for(state="attached")
    hundred.button("Rules").click()
    hundred.tab.evaluate(PAIRED)
    slider = hundred.tab.get_by_label("Largest difference that counts")
    slider.focus()
    for number in range(ROUNDS):
        hundred.press("ArrowLeft")
        hundred.tab.wait_for_function("(most) => window.paired_.length > most", arg=number)
        hundred.tab.wait_for_timeout(1700 if number % 5 == 0 else 100)
    told(benchmark, hundred.tab.evaluate("window.paired_"), PAIRED_WITHIN)


@pytest.mark.parametrize(
    ("link", "what"),
    [("Photo", ".square-list li"), ("Pair", ".board .set"), ("Wall", ".block")],
)
def test_1000_squares_are_shown(benchmark, thousand, link, what):
    thousand.go("pair")
    thousand.tab.locator(".board .set").nth(300).wait_for(state="attached", timeout=60_000)
    thousand.go("take")
    thousand.tab.wait_for_timeout(2_000)
    times = []
    for _ in range(3):
        times.append(thousand.tab.evaluate(SHOWN, [link, what]))
        thousand.go("take")
        thousand.tab.wait_for_timeout(300)
    told(benchmark, times, MANY_WITHIN)


def test_1000_squares_are_walked_through(benchmark, thousand):
    thousand.go("photo")
    thousand.tab.locator("polygon.outline").nth(200).wait_for(state="attached")
    thousand.tab.evaluate(FRAMES, "keydown")
    for _ in range(ROUNDS):
        thousand.press("j")
        thousand.tab.wait_for_timeout(60)
    told(benchmark, thousand.tab.evaluate("window.frames_"), 2 * DRAG_WITHIN)


def test_1000_squares_are_walked_over_by_arrow(benchmark, thousand):
    thousand.go("pair")
    thousand.tab.locator(".board .set").nth(300).wait_for(state="attached", timeout=60_000)
    thousand.tab.locator(".board .tile").first.focus()
    thousand.tab.evaluate(FRAMES, "keydown")
    for _ in range(ROUNDS):
        thousand.press("ArrowDown")
        thousand.tab.wait_for_timeout(60)
    told(benchmark, thousand.tab.evaluate("window.frames_"), 2 * DRAG_WITHIN)


@pytest.mark.parametrize("part", ["photo", "pair"])
def test_1000_squares_are_marked_one_by_one(benchmark, thousand, part):
    """From the press to the frame in which it shows, the server's answer coming when it may."""
    tab = thousand.tab
    thousand.go("pair")
    tiles = tab.locator(".board .tile")
    tiles.nth(900).wait_for(state="attached", timeout=60_000)
    if part == "pair":
        tiles.nth(0).click()
        tiles.nth(1).click(modifiers=["Control"])
        pressed = tab.locator('[data-key="many-held back"]')
    else:
        thousand.go("photo")
        tab.locator("polygon.outline").nth(200).wait_for(state="attached")
        thousand.press("j")
        pressed = tab.locator('[data-key="held back"]')
    pressed.wait_for()
    tab.evaluate(FRAMES, "keydown")
    pressed.focus()
    for number in range(ROUNDS):
        thousand.press("Enter")
        on = str(number % 2 == 0).lower()
        assert pressed.get_attribute("aria-pressed") == on
        tab.wait_for_timeout(1500)
    told(benchmark, tab.evaluate("window.frames_"), AT_ONCE)
