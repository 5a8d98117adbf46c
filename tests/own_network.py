"""A home's network made of two network namespaces: a computer and a phone, joined by a cable.

Run in a namespace of its own (``unshare -rn``); nothing of it reaches the machine's own network.
"""

from __future__ import annotations

import json
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
COMPUTER, PHONE = "192.168.77.1", "192.168.77.2"
BEYOND = ("203.0.113.1", "203.0.113.5")
"""Addresses for examples (TEST-NET-3, RFC 5737) that play the internet's at both ends."""
AT = re.compile(r"^(http://\S+) and type the code (\d{3} \d{3})", re.MULTILINE)


def ip(*words, inside=None):
    """Set up a part of the network, in this namespace or in that of a process."""
    before = [] if inside is None else ["nsenter", "-t", str(inside), "-n"]
    subprocess.run([*before, "ip", *words], check=True)


def computer(catalogue):
    """Play the computer: open the table, let the phone do its part, and cut the cable between."""
    other = subprocess.Popen(["unshare", "-n", "sleep", "600"])
    try:
        time.sleep(0.5)
        join(other.pid)
        told = at_the_table(catalogue, other.pid)
    finally:
        other.kill()
    tell(told)


def join(phone):
    """Join the two namespaces, each with an address of the home and one beyond it."""
    ip("link", "set", "lo", "up")
    ip("link", "add", "c0", "type", "veth", "peer", "name", "p0")
    ip("link", "set", "p0", "netns", str(phone))
    ip("link", "set", "lo", "up", inside=phone)
    for one, inside, here in (("c0", None, COMPUTER), ("p0", phone, PHONE)):
        ip("addr", "add", f"{here}/24", "dev", one, inside=inside)
        ip("addr", "add", f"{BEYOND[inside is not None]}/24", "dev", one, inside=inside)
        ip("link", "set", one, "up", inside=inside)


def at_the_table(catalogue, phone):
    """Open the page with a table; return what the phone found."""
    page = subprocess.Popen(
        [sys.executable, "-m", "cli.start", "open", "--no-browser", "--table",
         "--catalogue", catalogue],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
    )  # fmt: skip
    first = page.stdout.readline().strip()
    said = ""
    while not AT.search(said):
        said += page.stderr.readline()
    origin, code = AT.search(said).groups()
    way = [*("nsenter", "-t", str(phone), "-n"), sys.executable, __file__, "phone"]
    part = subprocess.Popen(
        [*way, origin, code, first.partition("/?")[0]],
        cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    cut = part.stdout.readline()
    ip("link", "set", "c0", "down")
    part.stdin.write("cut\n")
    part.stdin.flush()
    away = part.stdout.readline()
    ip("link", "set", "c0", "up")
    out, _ = part.communicate("back\n")
    page.send_signal(signal.SIGINT)
    page.communicate()
    lines = [json.loads(one) for one in (cut, away, *out.splitlines())]
    return {"origin": origin, "code": page.returncode, "phone": lines}


def phone(origin, code, first):
    """Play the phone, with a browser; one line of JSON for each stage."""
    from browser import NAMES, QUIET, shutil, visited
    from playwright.sync_api import sync_playwright

    path = next(filter(None, map(shutil.which, NAMES)))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        settings = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
        with visited(browser, origin, **settings) as (tab, seen):
            tab.get_by_label("The six digits").fill(code)
            tab.get_by_role("button", name="Come in").click()
            tab.get_by_role("button", name="Tick as sewn").wait_for()
            tab.wait_for_function("() => !document.querySelector('.line').textContent")
            say(tab, first=reached(first), beyond=from_beyond(origin), said=seen.said)
            sys.stdin.readline()
            tab.get_by_role("button", name="Next").click()
            tab.get_by_role("button", name="Tick as sewn").click()
            tab.locator(".line", has_text="1 tick waits").wait_for()
            tab.locator(".line", has_text="doesn't answer").wait_for()
            say(tab)
            sys.stdin.readline()
            tab.wait_for_function("() => !document.querySelector('.line').textContent")
            say(tab)
        browser.close()


def say(tab, **more):
    """Say how the page stands."""
    told = tab.evaluate(
        """() => ({
          secure: isSecureContext,
          lock: Boolean(navigator.wakeLock),
          video: document.querySelector(".awake") ? !document.querySelector(".awake").paused : null,
          hint: [...document.querySelectorAll("p.hint")].map((one) => one.textContent).join(" "),
          line: document.querySelector(".line").textContent,
          head: document.querySelector(".sew-head").textContent,
          cloth: [...document.querySelectorAll(".sew img")].every((one) => one.naturalWidth > 0),
          ticks: localStorage.getItem("ticks"),
        })"""
    )
    tell({**told, **more})


def tell(told):
    """Put an object out, on a line of its own."""
    sys.stdout.write(f"{json.dumps(told)}\n")
    sys.stdout.flush()


def reached(first):
    """Whether the first door's port answers at the computer's address in the home."""
    port = int(first.rsplit(":", 1)[1])
    with socket.socket() as one:
        one.settimeout(2)
        return one.connect_ex((COMPUTER, port)) == 0


def from_beyond(origin):
    """What is answered to who asks from an address that is not private."""
    import httpx

    transport = httpx.HTTPTransport(local_address=BEYOND[1])
    with httpx.Client(transport=transport, trust_env=False) as client:
        return client.get(origin).status_code


if __name__ == "__main__":
    {"computer": computer, "phone": phone}[sys.argv[1]](*sys.argv[2:])
