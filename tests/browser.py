"""A real browser for tests of pages: the system's chromium, driven by Playwright."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from dataclasses import dataclass, field

import pytest
from waiting import LONG

NAMES = ("chromium", "chromium-browser", "google-chrome")
UNWANTED = (
    *("WebUIOmniboxPopup", "WebUIOmniboxAimPopup"),
    *("AimEnabled", "LensOverlay", "MediaRouter", "NetworkTimeServiceQuerying"),
    *("OptimizationHints", "PreconnectToSearch"),
    *("AvoidCorsURLLoaderRestartOnRedirect", "AvoidUnnecessaryBeforeUnloadCheckSync"),
    *("DestroyProfileOnBrowserClose", "HttpsFirstBalancedModeAutoEnable", "HttpsUpgrades"),
    *("PaintHolding", "ThirdPartyStoragePartitioning"),
)
"""What chromium is started without. The first two make pages that nobody sees, below the field for
addresses, in each new window: two fifths of what opening the sorting page took. Playwright leaves
out the others by a list of its own, which this one takes the place of."""
QUIET = (
    *("--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync", f"--disable-features={','.join(UNWANTED)}"),
)
"""It is asked to fetch nothing of its own accord."""


ABOUT_COLOUR = ("color-contrast", "link-in-text-block")
"""Those of axe's rules of which another scheme of colours may break one."""


@dataclass
class Seen:
    """What a page did while it was open."""

    asked: list[str] = field(default_factory=list)
    """Addresses that it asked for; ``data:`` is no request to anywhere and is left out."""
    said: list[str] = field(default_factory=list)
    """Errors and warnings on its console."""
    opened: list[str] = field(default_factory=list)
    """Words of the dialogs that it opened."""


@pytest.fixture(scope="module")
def chromium():
    """One browser for all tests of a module.

    Not for the whole session: Playwright keeps an event loop running in this thread, in which no
    other test could start its own.
    """
    api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        pytest.skip("there is no chromium on this machine (Debian: apt-get install chromium)")
    with api.sync_playwright() as playwright:
        api.expect.set_options(timeout=1000 * LONG)
        browser = playwright.chromium.launch(
            executable_path=path, args=list(QUIET), timeout=1000 * LONG
        )
        yield browser
        browser.close()


@contextmanager
def visited(browser, address, script="", **settings):
    """Open an address in a profile of its own; gives the page and what it did.

    The script runs in each document before its own do.
    """
    context = browser.new_context(**settings)
    context.set_default_timeout(1000 * LONG)
    context.add_init_script(script)
    page, seen = context.new_page(), Seen()
    page.on("request", lambda one: None if _is_data(one.url) else seen.asked.append(one.url))
    page.on("console", lambda one: seen.said.append(one.text) if one.type != "log" else None)
    page.on("pageerror", lambda one: seen.said.append(str(one)))
    page.on("dialog", lambda one: (seen.opened.append(one.message), one.dismiss()))
    try:
        page.goto(address)
        yield page, seen
    finally:
        context.close()


def _is_data(address):
    return address.startswith("data:")


def faults(page, *rules):
    """Return what axe calls a serious or critical fault, each with the first places.

    Of the rules named alone, if any are.
    """
    axe = pytest.importorskip(
        "axe_playwright_python.base", reason="axe-playwright-python is not installed"
    )
    if not page.evaluate("'axe' in window"):
        page.evaluate(axe.AXE_SCRIPT)
    options = {"resultTypes": ["violations"], **({"runOnly": list(rules)} if rules else {})}
    found = page.evaluate("(options) => axe.run(options).then((told) => told.violations)", options)
    return [
        (one["id"], one["help"], [node["target"] for node in one["nodes"][:3]])
        for one in found
        if one["impact"] in {"serious", "critical"}
    ]
