"""``calicount open``, run as a person runs it."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest
from waiting import LONG, until

ROOT = Path(__file__).parents[1]
OPENING = re.compile(r"http://127\.0\.0\.1:(\d+)/\?key=[\w-]{43}\n")


@contextmanager
def opened(*words):
    """Run the command until it has printed its address; gives the process and the address."""
    settings = {"creationflags": 0x200} if sys.platform == "win32" else {}
    run = subprocess.Popen(
        [sys.executable, "-m", "cli.start", "open", "--no-browser", *map(str, words)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
        **settings,
    )
    try:
        line = run.stdout.readline()
        assert line, run.communicate()[1]
        yield run, line
    finally:
        run.kill()
        run.communicate()


def interrupted(run):
    """Press Ctrl-C; the end's code and what was said."""
    run.send_signal(signal.CTRL_BREAK_EVENT if sys.platform == "win32" else signal.SIGINT)
    out, said = run.communicate(timeout=LONG)
    return run.returncode, out, said


def test_the_address_stands_alone_and_ctrl_c_ends_it_cleanly(kept_file):
    with opened("blues", "--catalogue", kept_file) as (run, line):
        assert OPENING.fullmatch(line)
        with httpx.Client(trust_env=False, follow_redirects=True, timeout=LONG) as browser:
            page = browser.get(line.strip())
            assert page.headers["content-type"].startswith("text/html")
            told = browser.get(str(page.url) + "api/start").json()
        assert told["open"] == next(b["id"] for b in told["bundles"] if b["name"] == "blues")
        code, out, said = interrupted(run)
    assert (code, out) == (0, "")
    assert said == "The page is open. Ctrl-C ends it; everything you did is kept.\n"


def test_photos_are_added_to_a_bundle_named_after_the_first(tmp_path, two_photos):
    place = tmp_path / "new" / "own.catalogue"
    with opened(two_photos[0], "--quiet", "--catalogue", place) as (run, line):
        origin = line.strip().partition("/?")[0]
        with httpx.Client(trust_env=False, timeout=LONG) as browser:
            browser.get(line.strip())
            (job,) = browser.get(f"{origin}/api/start").json()["jobs"]
            ended = {"done", "failed"}
            until(lambda: browser.get(f"{origin}/api/jobs/{job}").json()["state"] in ended)
            told = browser.get(f"{origin}/api/jobs/{job}").json()
            start = browser.get(f"{origin}/api/start").json()
        assert (told["state"], told["words"]) == ("done", "25 squares found")
        assert [one["name"] for one in start["bundles"]] == ["bundle"]
        code, _, said = interrupted(run)
    assert (code, said) == (0, "")


def test_ctrl_c_while_a_photo_is_read_leaves_a_whole_catalogue(tmp_path, two_photos):
    from catalog.catalogue.bundle_catalogue import Catalogue

    place = tmp_path / "own.catalogue"
    with opened(*two_photos, "--quiet", "--name", "x", "--catalogue", place) as (run, _):
        code, _, said = interrupted(run)
    assert (code, said) == (0, "")
    with Catalogue(place) as catalogue:
        assert {line.squares for line in catalogue.lines()} <= {25, 50}


@pytest.mark.skipif(sys.platform == "win32", reason="Windows ends a program without telling it")
def test_told_to_end_it_leaves_no_photos_lying_about(tmp_path, two_photos, monkeypatch):
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setenv("TMPDIR", str(folder))
    place = tmp_path / "own.catalogue"
    with opened(*two_photos, "--quiet", "--name", "x", "--catalogue", place) as (run, _):
        assert list(folder.glob("calicount-*"))
        run.send_signal(signal.SIGTERM)
        _, said = run.communicate(timeout=LONG)
    assert (run.returncode, said) == (0, "")
    assert not list(folder.glob("calicount-*"))


def test_a_port_that_is_taken_is_said(kept, kept_file):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        ended = kept("open", "--no-browser", "--port", other.getsockname()[1])
    assert ended.exit_code == 2
    assert "port" in ended.stderr
    assert ended.stderr.count("\n") == 1


def test_the_port_of_the_last_time_is_had_again_and_a_page_that_was_open_carries_on(kept_file):
    with httpx.Client(trust_env=False, follow_redirects=True, timeout=LONG) as browser:
        with opened("--quiet", "--catalogue", kept_file) as (run, first):
            origin = first.strip().partition("/?")[0]
            browser.get(first.strip())
            with browser.stream("GET", f"{origin}/api/events") as line:  # which ends with it
                assert "hello" in next(one for one in line.iter_lines() if "event" in one)
                code, _, said = interrupted(run)
            assert (code, said) == (0, "")
        with opened("--quiet", "--catalogue", kept_file) as (run, again):
            assert again.partition("/?")[0] == origin
            assert again != first
            assert browser.get(f"{origin}/api/here").status_code == 403  # until it is opened anew
            page = browser.get(origin, headers={"Accept": "text/html"})
            assert (page.status_code, page.headers["content-type"]) == (
                403,
                "text/html; charset=utf-8",
            )
            assert "Open it with the address that calicount open printed." in page.text
            browser.get(again.strip())
            assert browser.get(f"{origin}/api/here").status_code == 200
            with opened("--quiet", "--catalogue", kept_file) as (_, beside):  # it is taken
                assert OPENING.fullmatch(beside)
                assert beside.partition("/?")[0] != origin


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("no such bundle",), "no bundle is called 'no such bundle'"),
        (("blues", "both halves"), "only one bundle"),
        (("{photo}", "missing.jpg"), "there is no photo 'missing.jpg'"),
        (("--name", "x"), "--name is for photos"),
        (("{photo}", "--square", "wide"), "wide"),
        (("{photo}", "--name", "blues", "--square", "6"), "measure 5 in"),
        (("--port", "70000"), "there is no port 70000"),
    ],
)
def test_words_that_do_not_fit_are_refused(refused, small_photo, words, says):
    refused("open", "--no-browser", *(w.format(photo=small_photo) for w in words), says=says)


def test_the_browser_is_started_with_an_address_that_serves_once(kept, monkeypatch):
    seen = []
    monkeypatch.setattr("webbrowser.open", seen.append)
    monkeypatch.setattr(
        "cli.page.serving.serve", lambda path, port, prepare, opened: opened("to print", "once")
    )
    ended = kept("open", "--quiet")
    assert (ended.stdout, seen) == ("to print\n", ["once"])


TABLE = re.compile(r"http://127\.0\.0\.2:\d+ and type the code (\d{3}) (\d{3})\n")


def test_the_table_opens_with_a_code_and_ends_with_the_command(kept_file):
    words = ("blues", "--table", "--table-address", "127.0.0.2", "--catalogue", kept_file)
    with opened(*words) as (run, _):
        lines = []
        while not lines or "the next code." not in lines[-1]:
            lines.append(run.stderr.readline())
        told = "".join(lines)
        code = "".join(TABLE.search(told).groups())
        assert told.count("▀") > 100
        assert "not encrypted" in " ".join(told.split())
        assert max(map(len, lines)) <= 80
        origin = TABLE.search(told)[0].split()[0]
        with httpx.Client(base_url=origin, trust_env=False, timeout=LONG) as phone:
            phone.headers = {"Origin": origin, "User-Agent": "Mobile"}
            assert phone.post("/api/enter", json={"code": code}).status_code == 200
            assert phone.get("/api/start").json()["open"]
            assert run.stderr.readline() == "A phone is on the table now (127.0.0.1).\n"
            code, out, said = interrupted(run)
            assert (code, out, said) == (0, "", "")
            with pytest.raises(httpx.ConnectError):
                phone.get("/api/start")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--table-address", "192.168.0.1"), "add --table"),
        (("--table", "--table-address", "8.8.8.8"), "not on a private network"),
        (("--table", "--table-address", "my phone"), "is no address"),
        (("--table", "--table-address", "10.254.253.252"), "can't be listened on"),
    ],
)
def test_a_table_that_can_not_be_opened_is_refused(refused, words, says):
    refused("open", "--no-browser", *words, says=says)


def test_a_console_without_blocks_is_shown_no_picture(page):
    from cli.bundles.table_words import invitation_lines

    page.door.open("127.0.0.2", 0)
    assert len(invitation_lines(page.door, "utf-8")) > len(invitation_lines(page.door, "cp1252"))
    assert "Open on it" in invitation_lines(page.door, "ascii")[1]
