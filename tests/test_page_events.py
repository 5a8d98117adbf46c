"""What the page's server tells every open tab without being asked."""

from __future__ import annotations

import json
import threading
from contextlib import contextmanager

import httpx
from typer.testing import CliRunner
from waiting import until


class Listener:
    """One tab that listens: what it was told last, by the event's name."""

    def __init__(self):
        self.told, self.jobs, self.ended = {}, [], False

    def hear(self, lines):
        try:
            for line in lines:
                if line.startswith("event: "):
                    name = line[7:]
                elif line.startswith("data: "):
                    self.told[name] = json.loads(line[6:])
                    if name == "job":
                        self.jobs.append(self.told[name])
        except httpx.TransportError:
            return
        self.ended = True


@contextmanager
def listening(page):
    """Listen as a tab does, on a thread of its own."""
    one = Listener()
    with page.browser.stream("GET", "/api/events", timeout=None) as answer:
        assert answer.headers["content-type"].startswith("text/event-stream")
        thread = threading.Thread(target=one.hear, args=(answer.iter_lines(),), daemon=True)
        thread.start()
        until(lambda: "bundles" in one.told)
        yield one


def test_a_tab_hears_what_another_and_the_command_do(page, two_photos):
    from cli.main import app

    view = page.bundle()
    number = str(view["id"])
    with listening(page) as one:
        assert one.told["bundles"][number] == view["version"]
        after = page.do(view, {"kind": "white", "square": None})
        until(lambda: one.told["bundles"][number] == after["version"])
        words = ["square", "call", "blues", "R1C1", "mine", "--catalogue", str(page.state.path)]
        ended = CliRunner().invoke(app, words)
        assert ended.exit_code == 0, ended.output
        until(lambda: one.told["bundles"][number] == after["version"] + 1)
        job = page.send(two_photos[0].read_bytes(), bundle="meadow", name="a.jpg")["job"]
        until(lambda: one.jobs and one.jobs[-1]["state"] == "done")
        assert one.jobs[0]["state"] in {"waiting", "working"}  # only the latest is sent
        assert {told["job"] for told in one.jobs} == {job}
        assert one.jobs[-1]["words"] == "25 squares found"
        until(lambda: str(one.jobs[-1]["bundle"]) in one.told["bundles"])
    with listening(page) as late:  # what still holds is told to who comes late
        until(lambda: late.jobs)
        assert late.jobs == [one.jobs[-1]]


def test_a_tab_is_told_that_the_server_ends_which_does_not_wait_for_it(kept_file):
    from page_server import served

    with served(kept_file) as page, listening(page) as one:
        page.state.events.end()
        until(lambda: one.ended)
    assert one.told["end"] == {}
    assert not page.state.events.heard


def test_what_is_sent_again_because_no_answer_came_is_done_once(page):
    """The page says so; without that word a version that has passed is refused, as ever."""
    view = page.bundle()
    body = {"version": view["version"], "deeds": [{"kind": "white", "square": None}]}
    way = f"bundle/{view['id']}"
    first = page.post(f"{way}/deeds", body)
    assert page.post(f"{way}/deeds", {**body, "again": True}) == first
    page.post(f"{way}/deeds", body, 409)
    other = {**body, "deeds": [{"kind": "grey", "square": None}], "again": True}
    page.post(f"{way}/deeds", other, 409)
    for what in ("undo", "redo"):
        seen = {"version": page.bundle()["version"]}
        done = page.post(f"{way}/{what}", seen)
        assert page.post(f"{way}/{what}", {**seen, "again": True}) == done
        page.post(f"{way}/{what}", seen, 409)
