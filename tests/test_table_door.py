"""The second door: who gets in, what a device may do, and how it ends, over real connections."""

from __future__ import annotations

import json
import re
import socket

import httpx
import pytest
from table_device import DOOR, code_of, device, enter, laid, phone, table  # noqa: F401

from catalog.errors import UsageError
from cli.page.guard import POLICY
from cli.page.table.table_guard import CODE_WANTED, ENTRANCE

EVIL = "http://evil.example"


def refused(answer, problem, status=403):
    assert answer.status_code == status, answer.text
    told = answer.json()
    assert told["problem"] == problem
    assert told["cure"]


def test_the_door_is_shut_until_it_is_asked_for_and_shut_again(page):
    door = page.door
    assert page.get("table")["open"] is False
    assert (door.origin, door.entrance) == ("", "")
    page.post("table/code", {}, 400)
    told = page.post("table/open", {"address": DOOR})
    host, port = DOOR, int(told["address"].rsplit(":", 1)[1])
    assert told["address"] == f"http://{DOOR}:{port}" == door.origin
    with device(door) as browser:
        assert browser.get("/").status_code == 200
        enter(door, browser)
        assert browser.get("/api/start").status_code == 200
        told = page.post("table/close", {})
        assert (told["open"], told["devices"], told["code"]) == (False, [], "")
        with pytest.raises(httpx.ConnectError):
            browser.get("/api/start")
    door.open(DOOR, port)
    with device(door) as browser:
        refused(browser.get("/api/start", headers={"Cookie": "x=y"}), CODE_WANTED)
    assert host == DOOR


def test_a_code_lets_in_one_device_once(laid):  # noqa: F811
    code = code_of(laid.door)
    assert len(code) == 6
    with device(laid.door) as one, device(laid.door) as other:
        answer = one.post("/api/enter", json={"code": f"{code[:3]} {code[3:]}"})
        assert answer.status_code == 200
        assert answer.json()["kind"] == "phone"
        assert "not encrypted" in answer.json()["warning"]
        cookie = answer.headers["set-cookie"]
        for part in ("HttpOnly", "SameSite=strict", "Path=/", "calicount-table-"):
            assert part in cookie
        assert one.get("/api/start").status_code == 200
        assert other.post("/api/enter", json={"code": code}).status_code == 429
        refused(other.get("/api/start"), CODE_WANTED)
        one.post("/api/leave", json={})


def test_the_long_code_of_the_picture_lets_in_once_too(laid):  # noqa: F811
    laid.door.invite()
    entrance, token = laid.door.entrance.split("#")
    with device(laid.door) as one:
        assert entrance == f"{laid.door.origin}/"
        assert one.get(entrance).status_code == 200  # to look at the address uses nothing up
        assert one.post("/api/enter", json={"token": token}).status_code == 200
        assert one.post("/api/enter", json={"token": token}).status_code == 429
        one.post("/api/leave", json={})
        refused(one.get("/api/start"), CODE_WANTED)


def test_neither_doors_cookie_opens_the_other(laid):  # noqa: F811
    with device(laid.door) as one:
        enter(laid.door, one)
        (name,), (value,) = one.cookies.keys(), one.cookies.values()
        first = f"calicount-{laid.port}"
        with httpx.Client(base_url=laid.origin, trust_env=False) as client:
            for said in (name, first):
                answer = client.get("/api/start", headers={"Cookie": f"{said}={value}"})
                refused(answer, "this page is not open in this browser")
        secret = laid.browser.cookies[first]
        for said in (name, first):
            answer = httpx.get(
                f"{laid.door.origin}/api/start", headers={"Cookie": f"{said}={secret}"}
            )
            refused(answer, CODE_WANTED)
        one.post("/api/leave", json={})


def test_what_is_shown_before_a_code_holds_nothing_else_below_the_digest_either(laid):  # noqa: F811
    with device(laid.door) as one:
        named = re.findall(r'"/static/([0-9a-f]{32})/([^"]+)"', one.get("/").text)
        assert {name for _, name in named} == {"mark.svg", "table/table.css", "table/main.js"}
        for digest, name in named:
            answer = one.get(f"/static/{digest}/{name}")
            assert answer.status_code == 200
            for held in re.findall(r"^(?:\{ //|/\*) (\S+\.(?:js|css))", answer.text, re.MULTILINE):
                assert f"/static/{held}" in ENTRANCE
            refused(one.get(f"/static/{digest}/table/room.js"), CODE_WANTED)
            refused(one.get(f"/static/{digest}/frame/main.js"), CODE_WANTED)


@pytest.mark.parametrize(
    "path",
    [
        *("/api/start", "/api/bundle/1", "/api/crop/1.jpg", "/api/events", "/nowhere"),
        *("/static/table/sew.js", "/static/frame/main.js", "/static/table/../frame/main.js"),
        *("/static/frame/%2e%2e/index.html", "/static//frame/dom.js", "/api/enter/"),
    ],
)
def test_without_a_code_nothing_of_a_bundle_is_told(laid, path):  # noqa: F811
    with device(laid.door) as one:
        refused(one.get(path), CODE_WANTED)


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "evil.example", f"{DOOR}.evil.example"])
def test_the_host_must_be_the_very_address_that_was_offered(laid, host):  # noqa: F811
    port = laid.door.origin.rsplit(":", 1)[1]
    with device(laid.door) as one:
        for said in (f"{host}:{port}", host):
            answer = one.get("/", headers={"Host": said})
            refused(answer, "this page is asked for by another name")
        refused(one.get("/", headers={"Host": DOOR}), "this page is asked for by another name")


def test_another_origin_may_neither_enter_nor_change_nor_read(laid):  # noqa: F811
    own = laid.door.origin
    with device(laid.door) as one:
        code = code_of(laid.door)
        for origin in (EVIL, "null", f"{own}1", own.replace("http", "https"), laid.origin):
            answer = one.post("/api/enter", json={"code": code}, headers={"Origin": origin})
            refused(answer, "another page asked for this")
        enter(laid.door, one)
        for path in ("/api/leave", "/api/bundle/1/ticks"):
            answer = one.post(path, json={}, headers={"Origin": EVIL})
            refused(answer, "another page asked for this")
        photo = one.put(f"/api/uploads/random-{'0' * 64}", content=b"x", headers={"Origin": EVIL})
        refused(photo, "another page asked for this")
        refused(one.get("/api/start", headers={"Origin": EVIL}), "another page asked for this")
        site = {"Sec-Fetch-Site": "cross-site"}
        refused(one.get("/api/start", headers=site), "another page asked for this")
        del one.headers["Origin"]
        refused(one.post("/api/leave", json={}), "another page asked for this")
        one.headers["Origin"] = own
        one.post("/api/leave", json={})


def test_what_is_no_json_is_no_code_and_nothing_is_found_beside_the_page(laid):  # noqa: F811
    with device(laid.door) as one:
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
            answer = one.post(
                "/api/enter", content=b'{"code": "1"}', headers={"Content-Type": kind}
            )
            assert answer.status_code == 400
            assert "JSON" in answer.json()["problem"]
        enter(laid.door, one)
        for path in ("/docs", "/static/../serving.py", "/static/%2e%2e/serving.py", "/api/here"):
            answer = one.get(path)
            assert answer.status_code == 404, path
            assert set(answer.json()) == {"problem", "cure"}
        one.post("/api/leave", json={})


def test_a_page_of_the_internet_is_not_allowed_to_ask_by_a_preflight(laid):  # noqa: F811
    with device(laid.door) as one:
        answer = one.options(
            "/api/enter",
            headers={
                "Origin": EVIL,
                "Access-Control-Request-Method": "POST",
                "Access-Control-Request-Private-Network": "true",
            },
        )
        assert answer.status_code == 403
        assert not [name for name in answer.headers if name.startswith("access-control")]


def test_every_answer_says_what_a_browser_may_do_with_it(laid):  # noqa: F811
    with device(laid.door) as one:
        for answer in (one.get("/"), one.get("/api/start"), one.post("/api/enter", json={})):
            assert answer.headers["content-security-policy"] == POLICY
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert answer.headers["referrer-policy"] == "no-referrer"
            assert answer.headers["x-frame-options"] == "DENY"
            assert "access-control-allow-origin" not in answer.headers
            assert "server" not in answer.headers
            # browsers complain of this one where a connection isn't encrypted
            assert "cross-origin-opener-policy" not in answer.headers


RIGHTS = [
    ("GET", "/api/start", 200),
    ("GET", "/api/bundle/{}", 200),
    ("GET", "/api/bundle/{}/sets", 200),
    ("GET", "/api/bundle/{}/plan", 200),
    ("GET", "/api/bundle/{}/now", 200),
    ("GET", "/api/bundle/{}/quilt", 200),
    ("GET", "/api/bundle/{}/squares.jpg", 200),
    ("GET", "/api/crop/{square}.jpg", 200),
    ("GET", "/api/photo/{photo}.jpg?wide=64", 200),
    ("GET", "/static/table/main.js", 200),
    ("DELETE", "/api/bundle/{}", 405),
    ("POST", "/api/bundle/{}/deeds", 404),
    ("POST", "/api/bundle/{}/undo", 404),
    ("POST", "/api/bundle/{}/redo", 404),
    ("POST", "/api/bundle/{}/rename", 404),
    ("POST", "/api/bundle/{}/propose", 404),
    ("POST", "/api/bundle/{}/plan", 405),
    ("POST", "/api/bundle/{}/wall-checks", 404),
    ("POST", "/api/bundles", 404),
    ("POST", "/api/photos", 404),
    ("GET", "/api/bundle/{}/files/everything.zip", 404),
    ("GET", "/api/table", 404),
    ("POST", "/api/table/open", 404),
    ("POST", "/api/table/close", 404),
    ("POST", "/api/table/code", 404),
    ("GET", "/api/table/code.svg", 404),
]


def test_a_device_may_do_what_is_its_own_and_no_more(laid, quickly_hung):  # noqa: F811
    view = laid.bundle()
    with device(laid.door) as one:
        enter(laid.door, one)
        for method, path, status in RIGHTS:
            square, photo = view["squares"][0]["id"], view["photos"][0]["id"]
            where = path.format(view["id"], square=square, photo=photo)
            body = {"json": {"version": view["version"]}} if method != "GET" else {}
            assert one.request(method, where, **body).status_code == status, where
        seen = one.get(f"/api/bundle/{view['id']}").json()
        assert set(seen) == {"id", "name", "version", "side", "photos", "squares", "digest"}
        one.post("/api/leave", json={})
    assert laid.bundle()["version"] == view["version"]


def test_the_second_door_has_these_addresses_and_no_others(laid):  # noqa: F811
    """What is new at the first door is shut at the second until it is allowed here by name."""
    from cli.page.table.table_app import make_table_app

    app = make_table_app(laid.state, laid.jobs, laid.door.admission, "h", "c").app
    here = "/api/bundle/{bundle:int}"
    reads = {
        *("/", "/static/{name:path}", "/api/enter", "/api/start", "/api/events"),
        *("/api/crop/{square:int}.jpg", "/api/photo/{photo:int}.jpg", "/api/jobs/{job}", here),
        "/api/uploads/{key}",
        *(f"{here}/{name}" for name in ("sets", "plan", "quilt", "squares.jpg", "now")),
    }
    changes = {"/api/enter", "/api/leave", f"{here}/ticks"}
    found = {(method, route.path) for route in app.routes for method in route.methods}
    assert {path for method, path in found if method == "GET"} == reads
    assert {path for method, path in found if method == "POST"} == changes
    assert {path for method, path in found if method == "PUT"} == {"/api/uploads/{key}"}
    assert {method for method, _ in found} == {"GET", "HEAD", "POST", "PUT"}


def test_a_device_hears_of_changes_until_it_is_ended(table, quickly_hung):  # noqa: F811
    view = table.bundle()
    with device(table.door) as one:
        enter(table.door, one)
        with one.stream("GET", "/api/events") as line:
            heard = line.iter_lines()
            assert next(said for said in heard if said.startswith("event: bundles"))
            table.post(f"bundle/{view['id']}/plan", {"pattern": "pinwheel"})
            assert next(said for said in heard if said.startswith("event: plan"))
            assert json.loads(next(heard).partition(" ")[2])["bundle"] == view["id"]
            (who,) = table.get("table")["devices"]
            table.post(f"table/devices/{who['id']}/end", {})
            rest = [said for said in heard if said.startswith("event")]
            assert rest == ["event: over"]
        enter(table.door, one)
        with one.stream("GET", "/api/events") as line:
            heard = line.iter_lines()
            assert next(heard).startswith(":")
            table.door.close()
            assert "event: over" in list(heard)


def test_the_owner_sees_who_is_in_and_ends_one(laid):  # noqa: F811
    phones, desks = "127.0.0.3", "127.0.0.4"
    with (
        device(laid.door, address=phones) as one,
        device(laid.door, "Windows NT 10.0", desks) as other,
    ):
        enter(laid.door, one)
        enter(laid.door, other)
        told = laid.get("table")["devices"]
        assert [(d["kind"], d["address"]) for d in told] == [
            ("phone", phones),
            ("computer", desks),
        ]
        assert told[0]["since"] <= told[0]["seen"]
        assert not set(one.cookies.values()) & {str(v) for d in told for v in d.values()}
        left = laid.post(f"table/devices/{told[0]['id']}/end", {})["devices"]
        assert [d["kind"] for d in left] == ["computer"]
        refused(one.get("/api/start"), CODE_WANTED)
        assert other.get("/api/start").status_code == 200
        laid.post(f"table/devices/{told[0]['id']}/end", {}, 404)
        other.post("/api/leave", json={})
    assert laid.get("table")["devices"] == []


def test_codes_can_be_guessed_only_slowly(table):  # noqa: F811
    with device(table.door) as one, device(table.door) as other:
        code = code_of(table.door)
        wrong = f"{(int(code) + 1) % 10**6:06}"
        answer = one.post("/api/enter", json={"code": wrong})
        assert answer.status_code == 429
        assert int(answer.headers["retry-after"]) == answer.json()["wait"] == 1
        assert one.post("/api/enter", json={"code": code}).status_code == 429  # too soon
        assert other.post("/api/enter", json={"code": code}).status_code == 200


def test_the_picture_of_the_code_can_be_read(laid):  # noqa: F811
    import cv2
    import numpy as np

    from cli.page.table.qr_codes import QUIET_ZONE, qr_svg, qr_text

    laid.door.invite()
    answer = laid.browser.get("/api/table/code.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.content == qr_svg(laid.door.entrance)
    rows = qr_text(laid.door.entrance).split("\n")
    half = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    modules = np.array(
        [[half[sign][part] for sign in row] for row in rows for part in (0, 1)], np.uint8
    )
    picture = np.kron(modules * 255, np.ones((8, 8), np.uint8))
    assert cv2.QRCodeDetector().detectAndDecode(picture)[0] == laid.door.entrance
    assert modules[:QUIET_ZONE].all()


def test_a_door_on_an_ipv6_address_is_named_as_browsers_name_it(page):
    try:
        page.door.open("::1", 0)
    except UsageError:
        pytest.skip("this machine has no IPv6")
    assert page.door.origin.startswith("http://[::1]:")
    with httpx.Client(base_url=page.door.origin, trust_env=False) as one:
        one.headers["Origin"] = page.door.origin
        enter(page.door, one)
        assert one.get("/api/start").status_code == 200


def test_a_door_on_an_address_of_the_internet_is_refused(page):
    for address in ("8.8.8.8", "0.0.0.0", "::", "2001:db8::1", "100.64.0.1", "home.example"):
        assert page.post("table/open", {"address": address}, 400)["problem"]
        with pytest.raises(UsageError):
            page.door.open(address)
    assert page.door.is_open is False
    with socket.socket() as one:
        one.settimeout(1)
        assert one.connect_ex((DOOR, 7340)) != 0


def test_a_tick_is_kept_and_is_said_but_once(phone, table, quickly_hung):  # noqa: F811
    number = table.bundle()["id"]
    plan = phone.get(f"/api/bundle/{number}/plan").json()
    wall, block = plan["wall"], next(b for b in plan["wall"]["blocks"] if b["squares"])
    tick = {"wall": wall["key"], "place": block["place"], "squares": block["squares"], "on": True}
    path = f"/api/bundle/{number}/ticks"
    first = phone.post(path, json=tick)
    assert first.status_code == 200, first.text
    again = phone.post(path, json=tick)
    assert again.json() == first.json()
    view = table.bundle()
    assert view["version"] == first.json()["version"] == plan["version"] + 1
    assert view["undo"] == f"{block['place']} on the wall is sewn"
    assert phone.post(path, json={**tick, "on": False}).status_code == 200
    after = phone.get(f"/api/bundle/{number}/plan").json()
    assert not any(one["done"] for one in after["wall"]["blocks"])
    for bad in (
        {"place": "A0x"},
        {"squares": []},
        {"on": "yes"},
        {"wall": 5},
        {"squares": [10**9]},
    ):
        assert phone.post(path, json={**tick, **bad}).status_code in {400, 409}


def test_a_tick_finds_its_block_where_it_hangs_now(phone, table, quickly_hung):  # noqa: F811
    view = table.bundle()
    path = f"/api/bundle/{view['id']}"
    wall = phone.get(f"{path}/plan").json()["wall"]
    one, other = [block for block in wall["blocks"] if block["squares"]][:2]
    tick = {"wall": wall["key"], "place": one["place"], "squares": one["squares"], "on": True}
    swap = [one["place"], other["place"]]
    squares = [one["squares"], other["squares"]]
    table.do(view, {"kind": "hang", "wall": wall["key"], "swap": swap, "squares": squares})
    assert phone.post(f"{path}/ticks", json=tick).status_code == 200
    blocks = {b["place"]: b for b in phone.get(f"{path}/plan").json()["wall"]["blocks"]}
    assert blocks[other["place"]]["done"]
    assert set(blocks[other["place"]]["squares"]) == set(one["squares"])
    assert not blocks[one["place"]]["done"]
    strange = {**tick, "squares": [one["squares"][0], other["squares"][0]]}
    answer = phone.post(f"{path}/ticks", json=strange)
    refused(answer, f"what hung at {one['place']} hangs there no longer", 409)


def test_the_plan_on_the_table_is_that_of_the_page(phone, table, quickly_hung):  # noqa: F811
    number = table.bundle()["id"]
    before = phone.get(f"/api/bundle/{number}/now").json()
    table.post(f"bundle/{number}/plan", {"pattern": "pinwheel"})
    after = phone.get(f"/api/bundle/{number}/now").json()
    assert after["version"] == before["version"]
    assert after["mark"] != before["mark"]
    plan = phone.get(f"/api/bundle/{number}/plan").json()
    assert (plan["title"], plan["mark"]) == ("Pinwheels", after["mark"])
    again = phone.get(f"/api/bundle/{number}/plan", params={"since": plan["digest"]}).json()
    assert again == {**again, "since": plan["digest"], "parts": {}, "lists": {}}


@pytest.mark.slow
def test_without_a_page_the_plan_is_that_of_the_last_count(kept, phone, table, quickly_hung):  # noqa: F811
    assert kept("count", "blues", "--pattern", "four-patch", "--out", "x").exit_code in {0, 3}
    number = next(one["id"] for one in phone.get("/api/start").json()["bundles"])
    plan = phone.get(f"/api/bundle/{number}/plan").json()
    assert plan["title"] == "Four patches with cornerstones"
    assert plan["mark"] == phone.get(f"/api/bundle/{number}/now").json()["mark"]


def test_a_photo_from_a_phone_is_received_and_its_way_is_told(phone, table):  # noqa: F811
    way = f"/api/uploads/random-{'7' * 64}?bundle=from+the+phone&name=x.jpg&side=5"
    kind = {"Content-Type": "image/jpeg"}
    assert phone.get(way).json() == {"offset": 0}
    piece = phone.put(f"{way}&offset=0&size=8", content=b"no p", headers=kind)
    assert piece.json() == {"offset": 4} == phone.get(way).json()
    job = phone.put(f"{way}&offset=4&size=8", content=b"hoto", headers=kind).json()["job"]
    told = table.ended(job)
    assert (told["state"], told["name"]) == ("failed", "x.jpg")
    assert phone.get(f"/api/jobs/{job}").json() == told
