"""Of a bundle that a page has already only what differs is told; put together it is the whole."""

from __future__ import annotations

import json

from hypothesis import given, settings
from hypothesis import strategies as st
from page_server import served

from cli.page.view_changes import KEYS, MAX_TOLD, ToldViews

words = st.text(max_size=3)
members = st.lists(
    st.builds(lambda number, said: {"id": number, "said": said}, st.integers(0, 5), words),
    max_size=6,
)
views = st.fixed_dictionaries({"version": st.integers(0, 2), "note": words, "squares": members})


def put_together(told, had):
    """What the page makes of an answer (``static/frame/since.js``)."""
    if "since" not in told:
        return told
    view = {**had, **told["parts"], "digest": told["digest"]}
    for name, change in told["lists"].items():
        key = change["key"]
        known = {one[key]: one for one in (*had[name], *change["fresh"])}
        view[name] = [known[n] for n in change.get("order", [one[key] for one in had[name]])]
    return view


@settings(max_examples=40)
@given(st.lists(views, min_size=1, max_size=4))
def test_what_is_told_of_a_view_since_another_makes_it_whole(some):
    told, had = ToldViews(), {}
    for view in some:
        answer = json.loads(told.answer(view, had.get("digest", "")).body)
        had = put_together(answer, had)
        assert {name: had[name] for name in view} == view


def test_a_digest_that_is_not_known_any_more_is_answered_with_all():
    told, view = ToldViews(), {"version": 0, "squares": [{"id": 1}]}
    first = json.loads(told.answer(view).body)["digest"]
    assert json.loads(told.answer(view, first).body)["parts"] == {}
    for version in range(MAX_TOLD):
        told.answer({**view, "version": version + 1})
    assert json.loads(told.answer(view, first).body)["squares"] == view["squares"]
    other = {"version": 0, "names": ["of another shape"]}
    assert json.loads(told.answer(other, told_digest(told, view)).body)["names"]


def told_digest(told, view):
    return json.loads(told.answer(view).body)["digest"]


class Tab:
    """A tab that asks only for what it hasn't."""

    def __init__(self, page, view):
        self.page, self.view, self.short = page, view, True

    def take(self, told):
        self.short = "since" in told
        self.view = put_together(told, self.view)
        whole = self.page.get(f"bundle/{self.view['id']}")
        assert self.view == whole
        return self

    def look(self):
        told = self.page.get(f"bundle/{self.view['id']}", since=self.view["digest"])
        return self.take(told)

    def change(self, way, **body):
        address = f"bundle/{self.view['id']}/{way}?since={self.view['digest']}"
        return self.take(self.page.post(address, {"version": self.view["version"], **body}))


def test_tabs_are_told_what_changed_and_all_after_a_restart(kept_file):
    with served(kept_file) as page:
        one, other = (Tab(page, page.bundle()) for _ in range(2))
        square = one.view["squares"][0]["id"]
        held = {"kind": "mark", "squares": [square], "mark": "held back", "on": True}
        one.change("deeds", deeds=[held])
        told = page.get(f"bundle/{one.view['id']}", since=other.view["digest"])
        assert [each["id"] for each in told["lists"]["squares"]["fresh"]] == [square]
        assert len(json.dumps(told)) < len(json.dumps(one.view)) / 10
        assert one.short
        assert other.take(told).short
        assert one.change("deeds", deeds=[{"kind": "not a square", "squares": [square]}]).short
        assert one.change("undo").change("redo").change("undo").change("undo").short
        assert other.look().short
        assert other.look().short
        sets = page.get(f"bundle/{one.view['id']}/sets")
        again = page.get(f"bundle/{one.view['id']}/sets", since=sets["digest"])
        assert again["lists"] == again["parts"] == {}
        assert set(KEYS) <= {*one.view, *sets}
    with served(kept_file) as page:
        one.page = page
        assert not one.look().short
        assert one.change("deeds", deeds=[held]).short
