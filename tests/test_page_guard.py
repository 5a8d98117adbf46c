"""Who gets in: every refusal of the page's server, asked over a real connection."""

from __future__ import annotations

import re
import socket

import httpx
import pytest

from catalog.errors import UsageError
from cli.page.guard import POLICY, Keys
from cli.page.listening import listening

EVIL = "http://evil.example"


@pytest.fixture
def stranger(shown):
    """A browser that never opened the shown."""
    with httpx.Client(base_url=shown.origin, trust_env=False) as client:
        yield client


NAME, KEY = "this page is asked for by another name", "this address is out of date"
COOKIE, ORIGIN = "this page is not open in this browser", "another page asked for this"
OPEN_AGAIN = "open it with the address that calicount open printed"


def refused(answer, problem, cure=OPEN_AGAIN):
    assert answer.status_code == 403
    assert answer.json() == {"problem": problem, "cure": cure}


def change_refused(answer):
    refused(answer, ORIGIN, "use the page itself")


def test_the_opening_address_gives_a_cookie_that_no_script_and_no_other_site_gets(shown, stranger):
    answer = stranger.get("/", params={"key": shown.key})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"]
    assert shown.key not in cookie
    for part in ("HttpOnly", "SameSite=strict", "Path=/"):
        assert part in cookie
    assert stranger.get("/api/start").status_code == 200


@pytest.mark.parametrize("key", ["", "wrong", "ä", "%00"])
def test_a_wrong_token_opens_nothing(stranger, key):
    answer = stranger.get(f"/?key={key}")
    refused(answer, KEY)
    assert "set-cookie" not in answer.headers


def test_the_address_that_starts_the_browser_opens_the_page_once():
    keys = Keys()
    (once,) = keys.once
    assert keys.opens(once)
    assert not keys.opens(once)
    assert all(keys.opens(keys.opening) for _ in range(3))
    assert not keys.opens("")


@pytest.mark.parametrize("path", ["/", "/api/start", "/static/x.js", "/api/crop/1.jpg", "/nowhere"])
def test_without_the_cookie_nothing_is_told(stranger, path):
    refused(stranger.get(path), COOKIE)


def test_a_wrong_cookie_is_none(shown, stranger):
    name = f"calicount-{shown.port}"
    for value in ("", "wrong", shown.key):
        answer = stranger.get("/api/start", headers={"Cookie": f"{name}={value}"})
        refused(answer, COOKIE)


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example", "[::1]", ""]
)
def test_another_name_for_this_machine_is_refused(shown, host):
    answer = shown.browser.get("/api/start", headers={"Host": host})
    refused(answer, NAME)


def test_localhost_is_this_machine(shown):
    answer = shown.browser.get(
        "/api/start",
        headers={"Host": f"localhost:{shown.port}", "Origin": f"http://localhost:{shown.port}"},
    )
    assert answer.status_code == 200


def test_a_change_from_another_origin_is_refused(shown):
    view = shown.bundle()
    body = {"version": view["version"], "deeds": [{"kind": "white", "square": None}]}
    path = f"/api/bundle/{view['id']}/deeds"
    own = f"http://127.0.0.1:{shown.port}"
    for origin in (EVIL, "null", own.replace("http", "https"), f"{own}1", f"{EVIL}#{own}"):
        change_refused(shown.browser.post(path, json=body, headers={"Origin": origin}))
    assert shown.bundle()["version"] == view["version"]


def test_a_form_that_another_site_posts_is_refused_even_with_the_cookie(shown):
    view = shown.bundle()
    headers = {"Origin": EVIL, "Sec-Fetch-Site": "cross-site"}
    form = shown.browser.post(
        f"/api/bundle/{view['id']}/undo", data={"version": 1}, headers=headers
    )
    change_refused(form)


def test_a_change_must_say_where_it_comes_from(shown, stranger):
    stranger.cookies = shown.browser.cookies
    change_refused(stranger.post("/api/bundles", json={"name": "x", "side": "5"}))
    said = {"Sec-Fetch-Site": "same-origin"}
    answer = stranger.post("/api/bundles", json={"name": "x", "side": "5"}, headers=said)
    assert answer.status_code == 200


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_page_may_not_show_pictures_or_read(shown, site):
    refused(shown.browser.get("/api/start", headers={"Sec-Fetch-Site": site}), ORIGIN)
    refused(shown.browser.get("/api/start", headers={"Origin": EVIL}), ORIGIN)
    way = {"Sec-Fetch-Site": site, "Origin": shown.origin}
    change_refused(shown.browser.post("/api/bundles", json={"name": "x"}, headers=way))


def test_plain_text_is_no_change(shown):
    """A form's own content types reach a server without being asked for; ours takes JSON alone."""
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        answer = shown.browser.post(
            "/api/bundles", content=b'{"name": "x"}', headers={"Content-Type": kind}
        )
        assert answer.status_code == 400
        assert "JSON" in answer.json()["problem"]


def test_every_answer_says_what_a_browser_may_do_with_it(shown, stranger):
    answers = [stranger.get("/"), shown.browser.get("/api/start"), shown.browser.get("/nowhere")]
    for answer in answers:
        assert answer.headers["content-security-policy"] == POLICY
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert answer.headers["cross-origin-opener-policy"] == "same-origin"
        assert answer.headers["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in answer.headers
        assert "server" not in answer.headers
    assert "unsafe" not in POLICY


def test_nothing_is_found_beside_the_page(shown):
    for path in (
        "/docs",
        "/openapi.json",
        "/static/../serving.py",
        "/static/%2e%2e/serving.py",
        "/static//etc/passwd",
        "/static/..%5cserving.py",
        "/api/photo/..%2f1.jpg",
    ):
        answer = shown.browser.get(path)
        assert answer.status_code == 404, path
        assert set(answer.json()) == {"problem", "cure"}
    assert shown.browser.put("/api/start").status_code == 405


def test_a_person_who_is_refused_reads_words_and_no_json(shown, stranger):
    """By the address line or a link, as the browser says; a script gets what it can read."""
    typed = {"Sec-Fetch-Mode": "navigate", "Sec-Fetch-Site": "none"}
    for browser, path, says in (
        (stranger, "/", "This page is not open in this browser."),
        (stranger, "/?key=%3Cb%3E", "This address is out of date."),
        (shown.browser, "/nowhere", "There is nothing at this address."),
        (shown.browser, "/api/bundle/99/files/%3Cb%3E", "There is no file &#x27;&lt;b&gt;&#x27;."),
    ):
        answer = browser.get(path, headers=typed)
        assert answer.status_code in {403, 404}
        assert answer.headers["content-type"] == "text/html; charset=utf-8"
        assert answer.headers["content-security-policy"] == POLICY
        assert says in answer.text
        assert "{" not in answer.text
        script = browser.get(path, headers={"Sec-Fetch-Mode": "cors"})
        assert set(script.json()) == {"problem", "cure"}
    assert shown.browser.get("/api/start", headers=typed).json()["bundles"]


def test_the_server_listens_on_the_loopback_address_alone(shown):
    address = (_own_address(), shown.port)
    with socket.socket() as other:
        other.settimeout(1)
        with pytest.raises(OSError, match=r".+"):
            other.connect(address)


def _own_address():
    """Another address of this machine than the loopback's; one that is none if it has none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        try:
            one.connect(("192.0.2.1", 9))  # TEST-NET-1, RFC 5737: nothing is sent
            name = one.getsockname()[0]
        except OSError:
            name = "192.0.2.1"
    return name if not re.match(r"127\.", name) else "192.0.2.1"


def test_a_cookie_of_another_program_of_this_machine_keeps_nobody_out(shown, stranger):
    stranger.get("/", params={"key": shown.key})
    name = f"calicount-{shown.port}"
    both = f'other={{"a": "b c"}}; {name}={stranger.cookies[name]}'
    with httpx.Client(base_url=shown.origin, trust_env=False) as client:
        assert client.get("/api/start", headers={"Cookie": both}).status_code == 200


def test_a_port_can_be_had_again_at_once():
    with listening(0) as one:
        port = one.getsockname()[1]
        with socket.create_connection(("127.0.0.1", port)) as visitor:
            answering, _ = one.accept()
            answering.close()  # who hangs up first waits for stray packets a while
            assert visitor.recv(1) == b""
    with listening(port) as again:
        assert again.getsockname()[1] == port


def test_a_port_is_had_by_one_alone():
    with listening(0) as one, pytest.raises(UsageError, match="can't be had"):
        listening(one.getsockname()[1])
