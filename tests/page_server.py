"""The sorting page's server, run in a thread on a free port, and a browser's part played to it."""

from __future__ import annotations

import shutil
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest
from waiting import LONG, until

from cli.page.guard import ADDRESS, Keys
from cli.page.listening import listening
from cli.page.photo_jobs import Jobs
from cli.page.server_state import ServerState
from cli.page.serving import server_of
from cli.page.table.table_door import TableDoor


@dataclass
class Page:
    """A page that is open in a browser."""

    browser: httpx.Client
    """Has the cookie and says where its requests come from."""
    origin: str
    opening: str
    """The address that opens the page."""
    state: ServerState
    jobs: Jobs
    door: TableDoor

    @property
    def key(self):
        """The token of the opening address."""
        return parse_qs(urlsplit(self.opening).query)["key"][0]

    @property
    def port(self):
        """The server's port."""
        return urlsplit(self.origin).port

    def get(self, path, code=200, **query):
        """What an address tells."""
        return _read(self.browser.get(f"/api/{path}", params=query), code)

    def post(self, path, body, code=200):
        """What an address answers to an object."""
        return _read(self.browser.post(f"/api/{path}", json=body), code)

    def bundle(self, name="blues"):
        """A bundle as the page shows it."""
        number = next(one["id"] for one in self.get("start")["bundles"] if one["name"] == name)
        return self.get(f"bundle/{number}")

    def do(self, view, *deeds, code=200):
        """Do deeds to a bundle as it was seen."""
        body = {"version": view["version"], "deeds": list(deeds)}
        return self.post(f"bundle/{view['id']}/deeds", body, code)

    def refused(self, view, *deeds, says=""):
        """The sentence with which deeds are refused, which change nothing."""
        told = self.do(view, *deeds, code=400)
        assert says in f"{told['problem']}; {told['cure']}"
        assert self.get(f"bundle/{view['id']}")["version"] == view["version"]
        return told

    def send(self, content, code=200, kind="image/jpeg", **query):
        """Send a photo."""
        answer = self.browser.post(
            "/api/photos", params=query, content=content, headers={"Content-Type": kind}
        )
        return _read(answer, code)

    def ended(self, job):
        """What became of a photo."""

        def over():
            told = self.get(f"jobs/{job}")
            return told["state"] in {"done", "failed"} and told

        return until(over)


def _read(answer, code):
    assert answer.status_code == code, answer.text
    return answer.json()


@contextmanager
def served(catalogue: Path):
    """Serve a catalogue, and open the page."""
    with listening(0) as one:
        port = one.getsockname()[1]
        state, keys = ServerState(catalogue), Keys()
        jobs = Jobs(state)
        door = TableDoor(state, jobs)
        server = server_of(state, jobs, keys, port, door)
        thread = Thread(target=server.run, args=([one],), daemon=True)
        thread.start()
        origin = f"http://{ADDRESS}:{port}"
        try:
            until(lambda: server.started)
            with httpx.Client(
                base_url=origin, timeout=LONG, headers={"Origin": origin}, trust_env=False
            ) as browser:
                opening = f"{origin}/?key={keys.opening}"
                assert browser.get(opening).status_code == 303
                yield Page(browser, origin, opening, state, jobs, door)
        finally:
            server.should_exit = True
            thread.join(LONG)
            door.close()
            jobs.close()
            state.close()


@pytest.fixture
def page(kept_file, monkeypatch, looks_once):
    """The page of a catalogue of the test's own; photos are looked at but once."""
    looks_once(monkeypatch)
    with served(kept_file) as opened:
        yield opened


@pytest.fixture(scope="module")
def shown(_made, tmp_path_factory):
    """A page that is looked at and asked for what it refuses, and that no test changes."""
    place = tmp_path_factory.mktemp("shown") / "own.catalogue"
    shutil.copy(_made, place)
    with served(place) as opened:
        yield opened
