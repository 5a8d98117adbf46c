"""Whatever a device sends by the second door is answered in a sentence, never by a fault."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from table_device import device, enter, laid  # noqa: F401 - a fixture
from test_page_fuzz import numbers, place, scalars, strange

ENTER = st.fixed_dictionaries({}, optional={"code": strange, "token": strange})
TICK = st.fixed_dictionaries(
    {},
    optional={
        "wall": st.sampled_from(["x", "sets alone|sets|rainbow-diagonal"]) | strange,
        "place": place | strange,
        "on": st.booleans() | strange,
        "squares": st.lists(numbers, max_size=4) | strange,
    },
)
PIECE = st.fixed_dictionaries(
    {}, optional=dict.fromkeys(("offset", "size", "bundle", "side", "name"), scalars.map(str))
)


@pytest.fixture(scope="module")
def inside(laid):  # noqa: F811
    """A device that is let in, and the bundle that it sees."""
    with device(laid.door) as one:
        enter(laid.door, one)
        yield one, laid.bundle()["id"]


def answered(answer):
    assert answer.status_code in {200, 400, 404, 409, 413, 429}, answer.text
    if answer.status_code != 200:
        told = answer.json()
        assert told["problem"]
        assert told["cure"]
        assert "fault" not in told["problem"]


def sent(one, way, body):
    """Send JSON as written by hand: httpx refuses numbers that JSON has no word for."""
    content = json.dumps(body).encode("utf-8", "surrogatepass")
    answered(one.post(way, content=content, headers={"Content-Type": "application/json"}))


@pytest.mark.slow
@settings(max_examples=100)
@given(tick=TICK, code=ENTER, piece=PIECE)
def test_ticks_codes_and_pieces_of_photos_are_checked(inside, tick, code, piece):
    one, bundle = inside
    sent(one, f"/api/bundle/{bundle}/ticks", tick)
    sent(one, "/api/enter", code)
    query = {name: value.encode("utf-8", "replace") for name, value in piece.items()}
    for key in (f"random-{'1' * 64}", "none"):
        answered(one.get(f"/api/uploads/{key}", params=query))
        kind = {"Content-Type": "image/jpeg"}
        answered(one.put(f"/api/uploads/{key}", params=query, content=b"x", headers=kind))
