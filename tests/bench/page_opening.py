"""What it takes to open the page on catalogues, until each bundle has its picture.

    python tests/bench/page_opening.py FILE ... [--pictures 50]

The catalogues are those of ``large_catalogue.py``. Printed are, as a Markdown table, processor
seconds of the page's server for its first answer (what it loads for that among them), for one more,
for a picture of a bundle, and its peak memory, MB; then seconds by the clock in chromium, from the
address to the pictures of all bundles in sight: when the server has just started, and once more in
another tab (the least of five servers).
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import httpx
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

from browser import NAMES, QUIET  # noqa: E402 - beside the tests

STARTS = 5
SEEN = """() => {
  const all = [...document.querySelectorAll("main .bundle-list li")];
  const inSight = all.filter((one) => one.getBoundingClientRect().top < innerHeight);
  return inSight.length && inSight.map((one) => one.querySelector("img"))
    .every((one) => one.complete && one.naturalWidth);
}"""
"""Cards out of sight aren't laid out; to ask where a picture in one lies would lay it out."""
TICKS = os.sysconf("SC_CLK_TCK")


class Opened:
    """A page's server, and what it has taken so far."""

    def __init__(self, catalogue: Path) -> None:
        words = ("-m", "cli.start", "open", "--no-browser", "--catalogue", str(catalogue))
        self.process = subprocess.Popen(
            [sys.executable, *words],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        address = self.process.stdout.readline().strip()
        self.browser = httpx.Client(base_url=address.split("/?")[0], trust_env=False, timeout=60)
        self.browser.get(address)

    def seconds(self) -> float:
        told = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(told[11]) + int(told[12])) / TICKS

    def megabytes(self) -> float:
        told = Path(f"/proc/{self.process.pid}/status").read_text().splitlines()
        return int(next(one for one in told if one.startswith("VmHWM")).split()[1]) / 1024

    def took(self, *paths: str) -> float:
        before = self.seconds()
        for path in paths:
            assert self.browser.get(path).status_code == 200, path
        return self.seconds() - before

    def close(self) -> None:
        self.browser.close()
        self.process.terminate()
        self.process.wait()


def shown(browser, catalogue: Path) -> list[float]:
    """Return the seconds until a new server's page is seen, and once more."""
    page = Opened(catalogue)
    address = str(page.browser.base_url)
    window = browser.new_context(viewport={"width": 1280, "height": 860})
    told = page.browser.cookies.jar
    window.add_cookies([{"name": c.name, "value": c.value, "url": address} for c in told])
    took = []
    for _ in range(2):
        tab = window.new_page()
        start = time.perf_counter()
        tab.goto(address)
        tab.wait_for_function(SEEN)
        took.append(time.perf_counter() - start)
        tab.close()
    window.close()
    page.close()
    return took


def in_a_browser(catalogue: Path) -> list[str]:
    """Return a catalogue's two figures of a browser."""
    path = next(filter(None, map(shutil.which, NAMES)))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        runs = [shown(browser, catalogue) for _ in range(STARTS)]
        browser.close()
    return [f"{min(one):.2f}" for one in zip(*runs, strict=True)]


def cells(catalogue: Path, most: int) -> list[str]:
    """Return a catalogue's figures."""
    page = Opened(catalogue)
    first, again = page.took("/api/start"), page.took("/api/start")
    bundles = page.browser.get("/api/start").json()["bundles"][:most]
    paths = [f"/api/bundle/{one['id']}/thumb.jpg?v={one['version']}" for one in bundles]
    each = page.took(*paths) / len(paths)
    told = [f"{first:.2f}", f"{again:.2f}", f"{each:.3f}", f"{page.megabytes():.0f}"]
    page.close()
    return told + in_a_browser(catalogue)


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("files", type=Path, nargs="+")
    asked.add_argument("--pictures", type=int, default=50)
    given = asked.parse_args()
    sys.stdout.write(
        "| catalogue | first answer, s | next | a picture | MB | in chromium, s | once more |\n"
        "|---|---|---|---|---|---|---|\n"
    )
    for one in given.files:
        told = " | ".join(cells(one, given.pictures))
        sys.stdout.write(f"| {one.stem} | {told} |\n")


if __name__ == "__main__":
    main()
