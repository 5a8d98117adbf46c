"""A device on the table, played by another loopback address of this machine."""

from __future__ import annotations

import itertools
import shutil
import socket
from contextlib import contextmanager

import httpx
import pytest
from page_server import served
from waiting import LONG

DOOR = "127.0.0.2"
"""Where the second door is opened in tests."""
_ADDRESSES = (f"127.1.{n // 250}.{n % 250 + 1}" for n in itertools.count())
"""From where devices ask: each has one of its own, whose wrong codes are nobody else's."""
AGENT = "Mozilla/5.0 (Linux; Android 14) Mobile"


def needs_loopback():
    """Skip where this machine has but one loopback address, as some systems do."""
    with socket.socket() as one:
        try:
            one.bind((DOOR, 0))
        except OSError:
            pytest.skip(f"{DOOR} is no address of this machine")


@contextmanager
def device(door, agent=AGENT, address=None):
    """A device's browser, which was not let in yet."""
    headers = {"Origin": door.origin, "User-Agent": agent}
    transport = httpx.HTTPTransport(local_address=address or next(_ADDRESSES))
    with httpx.Client(
        base_url=door.origin, transport=transport, headers=headers, timeout=LONG, trust_env=False
    ) as browser:
        yield browser


def code_of(door):
    """A new code of a door."""
    door.invite()
    return door.admission.invitations.standing[0].code


def enter(door, browser):
    """Let a device in by the code of the picture."""
    door.invite()
    answer = browser.post("/api/enter", json={"token": door.entrance.partition("#")[2]})
    assert answer.status_code == 200, answer.text
    return answer


@pytest.fixture
def table(page):
    """The second door of a page of the test's own, open."""
    needs_loopback()
    page.door.open(DOOR, 0)
    return page


@pytest.fixture(scope="module")
def laid(_made, tmp_path_factory):
    """A second door that tests of a module share, of a page that none changes."""
    needs_loopback()
    place = tmp_path_factory.mktemp("laid") / "own.catalogue"
    shutil.copy(_made, place)
    with served(place) as opened:
        opened.door.open(DOOR, 0)
        yield opened


@pytest.fixture
def phone(table):
    """A device that was let in to a page of the test's own."""
    with device(table.door) as browser:
        enter(table.door, browser)
        yield browser
