"""Whatever a page with the right cookie sends is answered in a sentence, never by a fault."""

from __future__ import annotations

import json
import shutil

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from page_server import served

from catalog.catalogue.events.event_kinds import KINDS
from catalog.pattern.pattern_file import pattern_text

FINE = frozenset({200, 400, 404, 409, 413})
HUGE = 10**400
DEEP = json.loads("[" * 9 + "]" * 9)
scalars = st.sampled_from(
    [None, True, False, 0, -1, 1, 1.0, 0.5, HUGE, -HUGE, 2**63, float("nan"), float("inf"), "", "x"]
) | st.text(max_size=5)
strange = st.recursive(
    scalars
    | st.sampled_from([DEEP, "\ud800", "\x1b[31m", "9" * 400, "1e400", "1/0", "²", [1], {}]),
    lambda inside: st.lists(inside, max_size=4) | st.dictionaries(st.text(max_size=3), inside),
    max_leaves=6,
)
numbers = st.integers(0, 60)
some = st.lists(numbers, min_size=1, max_size=3)
pairs = st.lists(st.lists(numbers, min_size=2, max_size=2), min_size=1, max_size=2)
points = st.lists(st.lists(st.floats(0, 800), min_size=2, max_size=2), min_size=4, max_size=4)
place = st.sampled_from(["A1", "B2", "C9"])
ARGUMENTS = {
    **dict.fromkeys(("squares", "first", "second"), some),
    **dict.fromkeys(("square", "a", "b", "photo", "row", "col"), numbers),
    **dict.fromkeys(("sets", "pairs"), pairs),
    **dict.fromkeys(("text", "project", "pattern", "wall"), st.sampled_from(["x", "y"])),
    **dict.fromkeys(("tolerance", "least_step", "most_step", "families"), numbers),
    "corners": points,
    "role": st.sampled_from(["", "feature", "background"]),
    "mark": st.sampled_from(["damaged", "cut"]),
    "on": st.booleans(),
    "ground": st.sampled_from(["white", "mat"]),
    "lamp": st.none() | st.booleans(),
    "stage": st.sampled_from(["reserved", "sewn"]),
    "set_size": st.integers(2, 4),
    "same_fabric": st.sampled_from(["allow", "avoid"]),
    "lightness_weight": st.floats(0.5, 4),
    "swap": st.lists(place, min_size=2, max_size=2),
    "done": place,
}
PLAN = {
    "pattern": st.sampled_from(["", "pinwheel", "four-patch"])
    | st.fixed_dictionaries({"text": strange}),
    "rows": st.integers(1, 3),
    "columns": st.integers(1, 3),
    "seam": st.sampled_from(["1/4", 0.25]),
    "order": st.sampled_from(["scattered", ""]),
}


def bodies(arguments):
    """Bodies whose members are right, strange or missing."""
    return st.fixed_dictionaries({}, optional={k: v | strange for k, v in arguments.items()})


deeds = st.sampled_from(sorted(KINDS)).flatmap(
    lambda kind: bodies(ARGUMENTS).map(lambda body: {**body, "kind": kind})
)
version = st.just("now") | strange
changes = st.fixed_dictionaries(
    {}, optional={"deeds": st.lists(deeds, min_size=1, max_size=2) | strange, "version": version}
)
back = bodies({"number": numbers}).flatmap(
    lambda body: version.map(lambda seen: {**body, "version": seen})
)
POSTS = {
    "deeds": st.fixed_dictionaries(
        {"deeds": st.lists(deeds, min_size=1, max_size=2), "version": st.just("now")}
    )
    | changes,
    "undo": back,
    "redo": back,
    "propose": bodies(dict.fromkeys(("photo", "x", "y", "row", "col"), numbers)),
    "plan": bodies(PLAN),
    "rename": bodies({"name": st.just("blues")}),
}


TEXTS = st.sampled_from(
    [f"{pattern_text('pinwheel')}{more}" for more in ("", "# \0", "# \ud800", "# \x1b[31m", "\r\n")]
)
PATTERN = {
    "name": st.sampled_from(["porch", "Porch ", "pinwheel", "a/b", "\ud800", "x" * 81]),
    "text": TEXTS,
    "version": st.none() | st.integers(1, 4),
}
ON_PATTERNS = st.sampled_from(
    ["", *(f"/{who}{what}" for who in ("1", "2", "pinwheel", "9" * 30)
           for what in ("", "/copy", "/rename", "/undo", "/redo"))]
)  # fmt: skip


@pytest.fixture(scope="module")
def fuzzed(_made, tmp_path_factory):
    """A page that is asked for anything, and may do it."""
    place = tmp_path_factory.mktemp("fuzzed") / "own.catalogue"
    shutil.copy(_made, place)
    with served(place) as opened:
        opened.seen = None
        yield opened


def answered(answer):
    """Check that an answer is a sentence where it isn't what was asked for; return it."""
    assert answer.status_code in FINE, answer.text
    if not answer.headers["content-type"].startswith("application/json"):
        assert answer.status_code == 200
        return {}
    told = answer.json()
    if answer.status_code != 200:
        assert told["problem"]
        assert told["cure"]
        assert "\n" not in told["problem"] + told["cure"]
        assert len(told["problem"]) < 400
    return told


def posted(page, address, body):
    content = json.dumps(body)  # not by the client, which refuses what JSON has no word for
    return answered(
        page.browser.post(address, content=content, headers={"Content-Type": "application/json"})
    )


def checked(page, what, body):
    """Post to the bundle, as it is now where the body says so."""
    if body.get("version") == "now":
        body = {**body, "version": page.seen or page.get("bundle/1")["version"]}
    told = posted(page, f"/api/bundle/1/{what}", body)
    page.seen = told.get("version") or page.seen


@pytest.mark.parametrize("what", POSTS)
def test_whatever_is_posted_is_answered(what, fuzzed):
    @settings(max_examples=25)
    @given(POSTS[what] | strange)
    def ask(body):
        checked(fuzzed, what, body if isinstance(body, dict) else {"deeds": body})

    ask()


def test_whatever_is_posted_about_patterns_is_answered(fuzzed):
    @settings(max_examples=15)
    @given(ON_PATTERNS, bodies(PATTERN))
    @example("", {"name": "half", "text": f"{pattern_text('pinwheel')}# \ud800", "version": None})
    def ask(where, body):
        content = json.dumps(body)
        kind = {"Content-Type": "application/json"}
        answer = fuzzed.browser.post(f"/api/patterns{where}", content=content, headers=kind)
        if answer.status_code not in {201, 405}:
            answered(answer)

    ask()
    for one in fuzzed.get("patterns")["patterns"]:
        fuzzed.get(f"patterns/{one['id'] or one['name']}")


@pytest.mark.slow
@pytest.mark.parametrize("what", POSTS)
def test_whatever_is_posted_is_answered_thousands_of_times(what, fuzzed):
    @settings(max_examples=1500)
    @given(POSTS[what])
    def ask(body):
        checked(fuzzed, what, body)

    ask()


@settings(max_examples=25)
@given(body=bodies({"name": st.just("new"), "side": st.just("5")}), kind=st.booleans())
def test_whatever_a_bundle_is_to_be_called_is_answered(fuzzed, body, kind):
    if kind:
        posted(fuzzed, "/api/bundles", body)
    else:
        answered(
            fuzzed.browser.request(
                "DELETE",
                "/api/bundle/1",
                content=json.dumps({**body, "name": [body.get("name")]}),
                headers={"Content-Type": "application/json"},
            )
        )


GETS = (
    "bundle/1",
    "bundle/1/sets",
    "bundle/1/others",
    "bundle/1/wall.jpg",
    "bundle/1/files/sets.csv",
    "bundle/1/files/x",
    "photo/1.jpg",
    "crop/1.jpg",
    "crop/99999.jpg",
    "jobs/x",
)
words = (
    st.text(max_size=6)
    | numbers.map(str)
    | strange.map(json.dumps)
    | st.sampled_from(["%ff", "²", "9" * 30, "pinwheel", '{"text":[]}', '{"text":1e999}', "[", "{"])
)


@pytest.mark.parametrize("address", GETS)
def test_whatever_an_address_asks_is_answered(address, fuzzed):
    keys = ("set", "doubts", "wide", "v", "pattern", "rows", "columns", "seam", "order", "paper")

    @settings(max_examples=20)
    @given(st.dictionaries(st.sampled_from(keys), words, max_size=3))
    def ask(query):
        answered(fuzzed.browser.get(f"/api/{address}", params=query))

    ask()


@settings(max_examples=30)
@given(st.dictionaries(st.sampled_from(["name", "bundle", "side"]), words | st.just("blues")))
def test_whatever_is_said_of_a_photo_is_answered(fuzzed, query):
    answer = fuzzed.browser.post(
        "/api/photos", params=query, content=b"", headers={"Content-Type": "image/jpeg"}
    )
    assert answered(answer)["problem"]


@pytest.mark.parametrize(
    ("what", "body"),
    [
        ("propose", {"photo": [1]}),
        ("propose", {"photo": 1, "x": HUGE, "y": 1}),
        ("deeds", {"deeds": [{"kind": "drop photo", "photo": {}}], "version": "now"}),
        ("deeds", {"deeds": [{"kind": "rules", "tolerance": HUGE}], "version": "now"}),
        ("plan", {"pattern": "\ud800"}),
        ("plan", {"pattern": "pinwheel", "seam": HUGE}),
        ("rename", {"name": "\ud800"}),
        ("undo", {"version": HUGE}),
    ],
)
def test_what_once_was_a_fault_is_refused(what, body, fuzzed):
    if body.get("version") == "now":
        body = {**body, "version": fuzzed.get("bundle/1")["version"]}
    content = json.dumps(body)
    answer = fuzzed.browser.post(
        f"/api/bundle/1/{what}", content=content, headers={"Content-Type": "application/json"}
    )
    assert answer.status_code == 400
    answered(answer)
