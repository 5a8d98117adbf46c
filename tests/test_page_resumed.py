"""Photos sent in pieces: an upload that broke off goes on where it was."""

from __future__ import annotations

import hashlib
import os
import time

import pytest
from page_server import served
from waiting import until

from cli.page.uploads import partial_photos


def key_of(content):
    return f"sha256-{hashlib.sha256(content).hexdigest()}"


def put(page, content, start, end, *, code=200, key=None, size=None, kind="image/jpeg", **query):
    """Send a piece."""
    given = {"bundle": "meadow", "side": "5", "name": "a.jpg", **query}
    answer = page.browser.put(
        f"/api/uploads/{key or key_of(content)}",
        params={**given, "offset": start, "size": len(content) if size is None else size},
        content=content[start:end],
        headers={"Content-Type": kind},
    )
    assert answer.status_code == code, answer.text
    return answer.json()


def here(page, content):
    return page.get(f"uploads/{key_of(content)}", bundle="meadow")


def test_a_photo_goes_on_where_it_broke_off_even_after_a_restart(kept_file, two_photos):
    content = two_photos[0].read_bytes()
    third = len(content) // 3
    with served(kept_file) as page:
        assert here(page, content) == {"offset": 0}
        assert put(page, content, 0, third) == {"offset": third}
        told = put(page, content, 0, 2 * third, code=409)  # sent again, as when no answer came
        assert told["offset"] == third
        folder = kept_file.with_name("own.catalogue.uploads")
        assert [one.stat().st_size for one in folder.iterdir()] == [third]
        if os.name == "posix":
            assert folder.stat().st_mode & 0o777 == 0o700
    with served(kept_file) as page:
        assert here(page, content) == {"offset": third}
        put(page, content, third, 2 * third)
        told = page.ended(put(page, content, 2 * third, len(content))["job"])
        assert (told["state"], told["words"], told["name"]) == ("done", "25 squares found", "a.jpg")
        assert here(page, content)["job"] == told["job"]
        assert not folder.exists()
    with served(kept_file) as page:
        assert here(page, content) == {"known": told["bundle"]}


def test_a_photo_that_is_all_there_needs_no_piece_more(page):
    content = b"no photo at all"
    part = put(page, content, 0, 4)["offset"]
    folder = page.state.path.with_name("own.catalogue.uploads")
    next(folder.iterdir()).write_bytes(content)
    assert part == 4
    told = page.ended(put(page, content, len(content), len(content))["job"])
    assert told["state"] == "failed"
    assert told["upload"]
    assert here(page, content) == {"offset": 0}
    assert put(page, content, 0, 4) == {"offset": 4}  # tried anew


@pytest.mark.parametrize(
    ("query", "code", "says"),
    [
        ({"key": "sha256-00"}, 400, "without its digest"),
        ({"size": 10**9}, 413, "larger than a photo"),
        ({"size": 4}, 400, "more came"),
        ({"kind": "text/plain"}, 400, "no photo"),
        ({"bundle": " "}, 400, "can't be called"),
        ({"bundle": "blues", "side": "6"}, 400, "measure 5 in"),
        ({"key": "sha256-" + "0" * 64}, 400, "changed on its way"),
    ],
)
def test_pieces_that_do_not_fit_are_refused(shown, query, code, says):
    content = b"no photo"
    told = put(shown, content, 0, len(content), code=code, **query)
    assert says in told["problem"]
    assert shown.get("start")["jobs"] == []


def test_idle_parts_are_swept_and_there_are_only_so_many(page, monkeypatch):
    old, new = b"an old photo", b"a new one"
    put(page, old, 0, 3)
    folder = page.state.path.with_name("own.catalogue.uploads")
    (part,) = folder.iterdir()
    monkeypatch.setattr(partial_photos, "MAX_PARTS", 1)
    assert "on their way" in put(page, new, 0, 3, code=413)["problem"]
    long_ago = time.time() - partial_photos.IDLE - 60
    os.utime(part, (long_ago, long_ago))
    assert put(page, new, 0, 3) == {"offset": 3}
    assert not part.exists()
    until(lambda: here(page, new) == {"offset": 3})
