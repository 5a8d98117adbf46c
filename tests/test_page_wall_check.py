"""The wall checked by a photo through the page's server."""

from __future__ import annotations

import pytest
from walls_seen import SWAPPED

pytestmark = pytest.mark.usefixtures("quickly_hung")


PINWHEEL = "pattern=pinwheel&rows=2&columns=4"


@pytest.fixture
def send(page, wall_photo):
    """Send a photo of the wall."""

    def sent(code=200, content=None, kind="image/png", query=PINWHEEL):
        answer = page.browser.post(
            f"/api/bundle/{page.bundle()['id']}/wall-checks?{query}&name=w%20all.png",
            content=wall_photo.read_bytes() if content is None else content,
            headers={"Content-Type": kind},
        )
        assert answer.status_code == code, answer.text
        return answer.json()

    return sent


def hung(page):
    told = page.post(
        f"bundle/{page.bundle()['id']}/plan", {"pattern": "pinwheel", "rows": 2, "columns": 4}
    )
    return {block["place"]: block for block in told["wall"]["blocks"]}


def make_of(page, check, way, code=200, version=None):
    view = page.bundle()
    body = {"version": view["version"] if version is None else version}
    return page.post(f"bundle/{view['id']}/wall-checks/{check}/{way}", body, code)


def test_what_differs_is_told_and_drawn_and_may_become_the_plan(page, send, hangs):
    hangs(**SWAPPED, A4={"joined_to": ("A3",)})
    told = send()
    assert [(move["says"], move["sure"]) for move in told["moves"]] == [
        ("A1 and A2 have changed places.", "97 % sure")
    ]
    assert (told["differs"], told["sewn"]) == (True, ["A4"])
    assert told["line"] == "6 blocks of 8 told hang as planned."
    picture = page.browser.get(f"/api/wall-checks/{told['check']}.jpg")
    assert picture.headers["content-type"] == "image/jpeg"
    assert picture.content[:2] == b"\xff\xd8"
    before = hung(page)
    make_of(page, told["check"], "take", code=409, version=999)
    hangs(A1={"state": "other"})
    strange, version = send(), page.bundle()["version"]
    refused = make_of(page, strange["check"], "take", code=400)
    assert "what hangs at A1" in refused["problem"]
    assert page.bundle()["version"] == version
    view = make_of(page, told["check"], "take")
    now = hung(page)
    assert now["A1"]["squares"] == before["A2"]["squares"]
    assert now["A2"]["squares"] == before["A1"]["squares"]
    assert "follows what hangs" in view["undo"]
    again = make_of(page, told["check"], "take", code=400)
    assert again["problem"] == "the plan follows the wall already"
    make_of(page, told["check"], "tick")
    assert [place for place, block in hung(page).items() if block["done"]] == ["A4"]
    page.do(page.bundle(), {"kind": "rules", "tolerance": 6})
    late = make_of(page, told["check"], "tick", code=400)
    assert "changed since the wall was checked" in late["problem"]


def test_what_is_no_wall_is_refused_in_a_sentence(page, send, hangs):
    hangs(found=False)
    assert "no wall found" in send(400)["problem"]
    assert "is empty" in send(400, content=b"")["problem"]
    assert "that is no photo" in send(400, kind="text/plain")["problem"]
    assert send(400, content=b"no photo")["cure"]
    assert "no pattern is called" in send(400, query="pattern=nothing")["problem"]
    gone = make_of(page, "0123", "take", code=404)
    assert "no longer at hand" in gone["problem"]
    assert page.browser.get("/api/wall-checks/0123.jpg").status_code == 404
