"""Photos sent to the page's server, those that are none, and pictures that it gives back."""

from __future__ import annotations

import errno
import io
import socket
import struct
import zlib
from threading import Event

import numpy as np
import pytest
from PIL import Image
from waiting import LONG, until

from catalog.catalogue.bundle_catalogue import Catalogue
from cli.page import photo_jobs as waiting
from cli.page.routes.upload_routes import MAX_PHOTO_BYTES, file_name


def test_a_photo_is_added_while_the_page_stays_open(page, two_photos):
    content = two_photos[0].read_bytes()
    job = page.send(content, bundle="meadow", side="5", name="a.jpg")["job"]
    told = page.ended(job)
    assert (told["state"], told["words"], told["name"]) == ("done", "25 squares found", "a.jpg")
    view = page.get(f"bundle/{told['bundle']}")
    assert (view["name"], len(view["squares"])) == ("meadow", 25)
    again = page.ended(page.send(content, bundle="meadow", name="b.jpg")["job"])
    assert (again["state"], again["words"]) == ("done", "in the bundle already")
    assert page.get("start")["jobs"] == []


def test_photos_that_wait_together_are_added_together(page, two_photos, no_squares, monkeypatch):
    several = []
    add = Catalogue.add

    def counted(self, name, side, photos, **more):
        several.append(len(photos))
        return add(self, name, side, photos, **more)

    monkeypatch.setattr(Catalogue, "add", counted)
    files = [two_photos[0], no_squares, two_photos[1]]
    row = [page.jobs.reserve(path.name, "meadow", "5") for path in files]
    for job, path in zip(row, files, strict=True):
        job.file.write_bytes(path.read_bytes())
    with page.jobs._lock:
        for job in row:
            page.jobs.start(job, job.file.stat().st_size)
    states = [page.ended(job.id)["state"] for job in row]
    assert states == ["done", "failed", "done"]
    assert several == [2]
    assert len(page.bundle("meadow")["squares"]) == 50


def test_a_photo_that_shows_no_squares_is_told_in_words(page, no_squares):
    told = page.ended(page.send(no_squares.read_bytes(), bundle="x", name="cloth.png")["job"])
    assert told["state"] == "failed"
    assert "no squares found" in told["problem"]
    assert told["cure"]
    assert [one["name"] for one in page.get("start")["bundles"]] == ["blues", "both halves"]


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(
        ">I", zlib.crc32(kind + data)
    )  # fmt: skip


def bomb():
    """A small PNG that says it has 3.6 thousand million pixels (PNG, third edition, 11.2)."""
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    rows = zlib.compress(bytes(1_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (bomb(), "million pixels"),
        (b"<html>no photo</html>", "not a photo that can be read"),
        (b"\xff\xd8\xff\xe0 cut off", "cut off"),
        (b"PK\x03\x04" + bytes(500), "not a photo that can be read"),
    ],
)
def test_what_is_no_photo_is_refused_in_a_sentence(shown, content, says):
    told = shown.ended(shown.send(content, bundle="y", name="trap.png")["job"])
    assert told["state"] == "failed"
    assert says in told["problem"]


def test_an_upload_that_says_it_is_too_large_is_refused_before_it_is_read(shown):
    answer, read = spoken(shown, f"Content-Length: {10**9}", bytes(1000))
    assert b" 413 " in answer
    assert b"larger than a photo" in answer
    assert read == 1000


def test_an_upload_without_a_length_is_cut_off_when_it_is_too_large(shown, monkeypatch):
    monkeypatch.setattr("cli.page.routes.upload_routes.MAX_PHOTO_BYTES", 300_000)
    piece = b"%x\r\n" % 65_536 + bytes(65_536) + b"\r\n"
    answer, sent = spoken(shown, "Transfer-Encoding: chunked", piece, 400)
    assert b" 413 " in answer
    assert sent < 400 * len(piece)
    assert MAX_PHOTO_BYTES == 80_000_000
    assert shown.get("start")["jobs"] == []


def test_a_photo_of_which_only_half_arrives_is_dropped(shown):
    spoken(shown, "Content-Length: 1000000", bytes(1000), hang_up=True)
    until(lambda: shown.get("start")["jobs"] == [])


def spoken(page, length, piece, times=1, *, hang_up=False):
    """Say a request by hand and return the answer and how much of the body could be sent."""
    cookie = "; ".join(f"{name}={value}" for name, value in page.browser.cookies.items())
    head = (
        f"POST /api/photos?bundle=z&name=z.jpg HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\n"
        f"Origin: {page.origin}\r\nCookie: {cookie}\r\nContent-Type: image/jpeg\r\n{length}\r\n\r\n"
    )
    sent, answer = 0, b""
    with socket.create_connection(("127.0.0.1", page.port), timeout=LONG) as one:
        one.sendall(head.encode())
        try:
            for _ in range(times):
                one.sendall(piece)
                sent += len(piece)
        except OSError:  # the server has closed: what it said may still be there to read
            pass
        if hang_up:
            until(lambda: page.get("start")["jobs"])
            return answer, sent
        try:
            while part := one.recv(65_536):
                answer += part
        except OSError:
            pass
    return answer, sent


def test_an_empty_upload_and_other_kinds_are_refused(shown):
    assert "is empty" in shown.send(b"", 400, bundle="y", name="a.jpg")["problem"]
    for kind in ("text/plain", "application/json", "multipart/form-data"):
        assert "no photo" in shown.send(b"x", 400, kind=kind, bundle="y")["problem"]
    assert "can't be called" in shown.send(b"x", 400, bundle=" ")["problem"]
    assert "measure 5 in" in shown.send(b"x", 400, bundle="blues", side="6")["problem"]


def test_too_many_waiting_photos_are_refused(shown, monkeypatch):
    monkeypatch.setattr(waiting, "MAX_WAITING", 0)
    assert "waiting already" in shown.send(b"x", 413, bundle="y")["problem"]


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\photos\\blue.jpg", "blue.jpg"),
        ("..", "photo"),
        ("", "photo"),
        ("a\x00b\n.jpg", "a?b?.jpg"),
        ("\u202egpj.exe", "?gpj.exe"),
        ("x" * 500, "x" * 200),
    ],
)
def test_a_photos_name_is_a_name_and_no_path(said, name):
    assert file_name(said) == name


def test_ending_drops_what_waits_and_leaves_nothing_behind(page, two_photos):
    content = two_photos[0].read_bytes()
    jobs = [page.jobs.reserve(f"{n}.jpg", "meadow", "5") for n in range(4)]
    for n, job in enumerate(jobs):
        job.file.write_bytes(content + bytes(n))
        page.jobs.start(job, len(content))
    page.jobs.close()
    assert not jobs[0].file.parent.exists()
    known = page.get("start")["bundles"]
    squares = [one["squares"] for one in known if one["name"] == "meadow"]
    assert squares in ([], [25])
    page.jobs.close()


def test_photos_come_upright_at_the_size_asked_for_and_are_not_sent_twice(shown):
    photo = shown.bundle()["photos"][0]
    way = f"/api/photo/{photo['id']}.jpg"
    whole = shown.browser.get(way)
    with Image.open(io.BytesIO(whole.content)) as picture:
        assert picture.size == (photo["wide"], photo["high"])
        assert not picture.getexif()
    small = shown.browser.get(way, params={"wide": 300, "v": photo["v"]})
    with Image.open(io.BytesIO(small.content)) as picture:
        assert picture.width == 300
    assert "immutable" in small.headers["cache-control"]
    assert "immutable" not in whole.headers["cache-control"]
    known = shown.browser.get(way, headers={"If-None-Match": whole.headers["etag"]})
    assert (known.status_code, known.content) == (304, b"")


def test_a_crop_has_its_squares_colour(shown):
    from catalog.colour.ciede2000 import ciede2000
    from catalog.colour.lab import pixels_to_lab, srgb_to_linear

    view = shown.bundle()
    for square in view["squares"][:6]:
        answer = shown.browser.get(f"/api/crop/{square['id']}.jpg", params={"v": square["v"]})
        with Image.open(io.BytesIO(answer.content)) as picture:
            assert min(picture.size) >= 96
            linear = srgb_to_linear(np.asarray(picture.convert("RGB")))
        mean = linear.reshape(-1, 3).mean(axis=0, dtype=np.float64)
        lab = pixels_to_lab(mean[None].astype(np.float32))[0]
        assert float(ciede2000(np.asarray(lab, np.float64), np.array(square["lab"]))) < 2.0


def test_a_disk_that_is_full_is_told_in_a_sentence(shown, monkeypatch):
    async def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("cli.page.routes.upload_routes._written", full)
    told = shown.send(b"x", 500, bundle="y", name="a.jpg")
    assert "No space left" in told["problem"]
    assert "room" in told["cure"]
    assert shown.get("start")["jobs"] == []


def test_a_picture_is_kept_for_good_only_under_the_address_that_is_its_own(shown):
    view = shown.bundle()
    square, photo = view["squares"][0], view["photos"][0]
    for way, own in ((f"crop/{square['id']}", square["v"]), (f"photo/{photo['id']}", photo["v"])):
        for v, lasts in ((own, True), ("another", False), ("", False)):
            answer = shown.browser.get(f"/api/{way}.jpg", params={"v": v})
            assert ("immutable" in answer.headers["cache-control"]) == lasts


def test_a_photo_that_was_taken_out_is_not_said_to_be_there(page, two_halves):
    view = page.bundle("both halves")
    view = page.do(view, {"kind": "drop photo", "photo": view["photos"][1]["id"]})
    job = page.send(two_halves[1].read_bytes(), bundle="both halves", name="again.jpg")["job"]
    assert "taken out" in page.ended(job)["words"]
    lines = {one["name"]: one for one in page.get("start")["bundles"]}
    assert lines["both halves"]["photos"] == len(view["photos"]) == 1


def test_photos_whose_squares_differ_in_size_are_not_put_together(page, two_photos, monkeypatch):
    add, both_sent = Catalogue.add, Event()

    def added(*args, **more):
        assert both_sent.wait(LONG)  # of a bundle that is there the second is refused as it is sent
        return add(*args, **more)

    monkeypatch.setattr(Catalogue, "add", added)
    jobs = [
        page.send(path.read_bytes(), bundle="new", name=path.name, side=side)["job"]
        for path, side in zip(two_photos, ("5", "6"), strict=True)
    ]
    both_sent.set()
    told = [page.ended(job) for job in jobs]
    assert [one["state"] for one in told] == ["done", "failed"]
    assert "measure 5 in" in told[1]["problem"]


def test_photos_and_bundles_have_small_pictures(shown):
    view = shown.bundle()
    for way, mark in (
        (f"photo/{view['photos'][0]['id']}", view["photos"][0]["v"]),
        (f"bundle/{view['id']}", view["version"]),
    ):
        answer = shown.browser.get(f"/api/{way}/thumb.jpg", params={"v": mark})
        assert "immutable" in answer.headers["cache-control"]
        assert len(answer.content) < 60_000
        with Image.open(io.BytesIO(answer.content)) as picture:
            assert picture.width == 320
            pixels = np.asarray(picture.convert("RGB"))
        assert (
            "immutable" not in shown.browser.get(f"/api/{way}/thumb.jpg").headers["cache-control"]
        )
    assert pixels.shape == (192, 320, 3)
    cloth = pixels[8:56, 8:56].reshape(-1, 3).mean(axis=0)  # the first of the bundle's cloth
    first = min(view["squares"], key=lambda one: abs(np.array(hex_of(one)) - cloth).sum())
    assert abs(np.array(hex_of(first)) - cloth).max() < 25
    assert shown.browser.get("/api/bundle/99/thumb.jpg").status_code == 404


def hex_of(square):
    return tuple(bytes.fromhex(square["hex"][1:]))
