"""The rules of the page's door, asked of the guard alone; test_page_guard asks over a wire."""

from __future__ import annotations

import asyncio

import httpx
import pytest
from starlette.responses import PlainTextResponse

from cli.page.guard import HEADERS, Guard, Keys

PORT = 4711
OWN = f"http://127.0.0.1:{PORT}"
EVIL = "http://evil.example"
AGAIN = "open it with the address that calicount open printed"
NAME = ("this page is asked for by another name", AGAIN)
KEY = ("this address is out of date", AGAIN)
COOKIE = ("this page is not open in this browser", AGAIN)
READ = ("another page asked for this", AGAIN)
CHANGE = ("another page asked for this", "use the page itself")


@pytest.fixture
def visit():
    """Ask for an address; gives the answer."""

    async def inside(scope, receive, send):
        answer = PlainTextResponse("let in", headers={"Cache-Control": "max-age=9"})
        await answer(scope, receive, send)

    guard = Guard(inside, Keys("opening", ["once"], "secret"), PORT)

    def asked(method="GET", path="/api/start", cookie=f"calicount-{PORT}=secret", **headers):
        given = {name.replace("_", "-"): value for name, value in headers.items()}
        if cookie:
            given["cookie"] = cookie

        async def ask():
            way = httpx.ASGITransport(guard)
            async with httpx.AsyncClient(transport=way, base_url=OWN) as client:
                return await client.request(method, path, headers=given)

        return asyncio.run(ask())

    return asked


@pytest.mark.parametrize(
    ("asked", "refused"),
    [
        ({}, None),
        ({"host": f"localhost:{PORT}"}, None),
        ({"host": f"LocalHost:{PORT}"}, None),
        ({"host": "127.0.0.1"}, NAME),
        ({"host": f"evil.example:{PORT}"}, NAME),
        ({"host": ""}, NAME),
        ({"origin": OWN}, None),
        ({"origin": OWN.upper()}, None),
        ({"origin": f"http://localhost:{PORT}"}, None),
        ({"origin": OWN.replace("http", "https")}, READ),
        ({"origin": EVIL}, READ),
        ({"sec_fetch_site": "none"}, None),
        ({"sec_fetch_site": "same-origin"}, None),
        ({"sec_fetch_site": "same-site"}, READ),
        ({"sec_fetch_site": "cross-site"}, READ),
        ({"origin": OWN, "sec_fetch_site": "cross-site"}, READ),
        ({"cookie": ""}, COOKIE),
        ({"cookie": f"calicount-{PORT}=wrong"}, COOKIE),
        ({"cookie": f"calicount-{PORT}=opening"}, COOKIE),
        ({"cookie": "calicount-1=secret"}, COOKIE),
        ({"cookie": f'other={{"a": "b c"}}; calicount-{PORT}=secret'}, None),
        ({"method": "POST"}, CHANGE),
        ({"method": "DELETE"}, CHANGE),
        ({"method": "POST", "origin": OWN}, None),
        ({"method": "PUT", "sec_fetch_site": "same-origin"}, None),
        ({"method": "POST", "sec_fetch_site": "none"}, CHANGE),
        ({"method": "POST", "origin": OWN, "sec_fetch_site": "none"}, CHANGE),
        ({"method": "POST", "origin": EVIL}, CHANGE),
        ({"method": "POST", "origin": EVIL, "sec_fetch_site": "same-origin"}, CHANGE),
        ({"method": "POST", "origin": OWN, "cookie": ""}, COOKIE),
        ({"method": "POST", "path": "/?key=opening"}, CHANGE),
        ({"path": "/?key=wrong"}, KEY),
        ({"path": "/?key="}, KEY),
        ({"path": "/?other=1&key=%ff"}, KEY),
        ({"path": "/?key=opening", "host": "evil.example"}, NAME),
        ({"path": "/api/start?key=opening", "cookie": ""}, COOKIE),
        ({"path": "/", "cookie": ""}, COOKIE),
        ({"path": "/"}, None),
    ],
)
def test_who_is_let_in(visit, asked, refused):
    answer = visit(**asked)
    if refused:
        assert answer.status_code == 403
        assert answer.json() == dict(zip(("problem", "cure"), refused, strict=True))
    else:
        assert (answer.status_code, answer.text) == (200, "let in")


@pytest.mark.parametrize("headers", [{}, {"origin": EVIL, "sec_fetch_site": "cross-site"}])
def test_the_opening_address_is_exchanged_for_the_cookie_whoever_links_to_it(visit, headers):
    answer = visit(path="/?key=opening", cookie="", **headers)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert answer.headers["set-cookie"].split("; ") == [
        f"calicount-{PORT}=secret",
        "HttpOnly",
        "Path=/",
        "SameSite=strict",
    ]


def test_the_second_address_opens_once(visit):
    assert [visit(path="/?key=once").status_code for _ in range(2)] == [303, 403]
    assert [visit(path="/?key=opening").status_code for _ in range(2)] == [303, 303]


def test_answers_bear_the_headers_that_they_do_not_set_themselves(visit):
    let_in, kept_out = visit(), visit(cookie="")
    for name, value in HEADERS.items():
        assert kept_out.headers[name] == value
        assert let_in.headers[name] == ("max-age=9" if name == "Cache-Control" else value)


def test_tokens_differ_and_are_long():
    one, other = Keys(), Keys()
    tokens = [t for keys in (one, other) for t in (keys.opening, *keys.once, keys.cookie)]
    assert len(set(tokens)) == 6
    assert min(map(len, tokens)) >= 43  # 32 bytes in base 64


@pytest.mark.parametrize("kind", ["lifespan", "websocket"])
def test_the_server_s_own_messages_pass_and_other_protocols_don_t(kind):
    passed = []

    async def inside(scope, _receive, _send):
        passed.append(scope["type"])

    async def silent(*_):
        return {}

    asyncio.run(Guard(inside, Keys(), PORT)({"type": kind}, silent, silent))
    assert passed == ["lifespan"][: kind == "lifespan"]


def test_who_calls_this_machine_by_no_name_is_refused():
    sent = []

    async def send(message):
        sent.append(message)

    async def receive():
        return {}

    scope = {"type": "http", "method": "GET", "path": "/", "query_string": b"", "headers": []}
    asyncio.run(Guard(PlainTextResponse("let in"), Keys(), PORT)(scope, receive, send))
    assert [one.get("status") for one in sent] == [403, None]
