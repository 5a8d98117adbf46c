"""What the page does beside the bundle that is open: search, copies, the check-up, the sample."""

import io
import zipfile

import pytest

from cli.page.routes import keeping_routes


def test_squares_of_a_colour_are_found_in_all_bundles(shown):
    found = shown.get("near", what="teal", number="5")
    away = [one["difference"] for one in found["squares"]]
    assert len(away) == 5
    assert away[0] == min(away)
    assert {"bundle", "label", "words", "state"} <= found["squares"][0].keys()
    assert shown.get("near", what="teal", value="dark")["squares"][0]["value"] == "dark"


@pytest.mark.parametrize(
    ("query", "says"),
    [({}, "nothing to look for"), ({"what": "teal", "value": "grey"}, "no such value")],
)
def test_what_cannot_be_looked_for_is_said(shown, query, says):
    assert says in shown.get("near", 400, **query)["problem"]


def test_partners_of_a_square_are_told(shown):
    own = shown.bundle()["squares"][0]
    found = shown.get(f"square/{own['id']}/partners", number="4")
    assert found["square"]["label"] == own["label"]
    assert len(found["squares"]) == 4
    assert own["id"] not in {one["id"] for one in found["squares"]}
    shown.get("square/999999/partners", 404)


def test_a_bundle_goes_out_and_comes_in_again(page):
    view = page.bundle()
    answer = page.browser.get(f"/api/bundle/{view['id']}/export")
    assert answer.headers["content-disposition"].startswith('attachment; filename="blues.zip"')
    assert zipfile.ZipFile(io.BytesIO(answer.content)).testzip() is None
    sent = {"content": answer.content, "headers": {"Content-Type": "application/zip"}}
    again = page.browser.post("/api/import", **sent)
    assert again.status_code == 400
    assert "blues" in again.json()["problem"]
    taken = page.browser.post("/api/import", params={"name": "blues again"}, **sent)
    assert taken.json()["name"] == "blues again"
    assert len(page.bundle("blues again")["squares"]) == len(view["squares"])


@pytest.mark.parametrize(
    ("kind", "content", "code"),
    [("text/html", b"x", 400), ("application/zip", b"", 400), ("application/zip", b"x" * 99, 400)],
)
def test_what_is_no_bundle_is_refused_in_words(shown, kind, content, code):
    answer = shown.browser.post("/api/import", content=content, headers={"Content-Type": kind})
    assert answer.status_code == code
    assert answer.json()["cure"]


def test_too_large_a_file_is_not_taken(shown, monkeypatch):
    monkeypatch.setattr(keeping_routes, "MAX_ARCHIVE_BYTES", 10)
    answer = shown.browser.post(
        "/api/import", content=b"x" * 99, headers={"Content-Type": "application/zip"}
    )
    assert answer.status_code == 413


def test_the_check_up_tells_what_is_whole(shown):
    found = shown.post("check-up", {})
    assert found["well"]
    assert found["squares"] >= len(shown.bundle()["squares"])
    assert found["faults"] == []


def test_the_sample_is_a_bundle_like_any_other(page, monkeypatch, small_photo):
    monkeypatch.setattr(keeping_routes, "sample_photo", small_photo.read_bytes)
    job = page.post("sample", {})["job"]
    assert page.ended(job)["state"] == "done"
    view = page.bundle(keeping_routes.SAMPLE_BUNDLE)
    assert len(view["squares"]) == 24
    assert page.post("sample", {})["bundle"] == view["id"]
