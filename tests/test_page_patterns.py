"""Patterns through the page's server: kept, changed, and which bundle makes them."""

from __future__ import annotations

import json

import pytest

from catalog.pattern.pattern_file import pattern_text

WHEELS, HOURS = pattern_text("pinwheel"), pattern_text("hourglass")


def kept(page, name="Porch", text=WHEELS):
    return page.post("patterns", {"name": name, "text": text, "version": None}, 201)


def delete(page, path, body, code=200):
    headers = {"Content-Type": "application/json"}
    answer = page.browser.request(
        "DELETE", f"/api/{path}", content=json.dumps(body), headers=headers
    )
    assert answer.status_code == code, answer.text
    return answer.json()


def test_a_pattern_is_kept_changed_and_undone(page):
    made = kept(page)
    assert (made["name"], made["version"], made["undo"]) == ("Porch", 1, False)
    here = f"patterns/{made['id']}"
    told = page.post("patterns", {"name": "porch", "text": HOURS, "version": 1})
    assert (told["id"], told["version"], told["title"]) == (made["id"], 2, "Hourglasses")
    stale = page.post(here, {"text": WHEELS, "version": 1}, 409)
    assert "changed elsewhere" in stale["problem"]
    told = page.post(f"{here}/rename", {"name": "Garden", "version": 2})
    assert page.get(here) == told
    assert [one["says"] for one in told["history"]] == [
        "kept as Porch", "its file changed", "called Garden",
    ]  # fmt: skip
    assert page.post(f"{here}/undo", {"version": 3})["name"] == "Porch"
    told = page.post(f"{here}/redo", {})
    assert (told["name"], told["undo"], told["redo"]) == ("Garden", True, False)
    copy = page.post(f"{here}/copy", {"name": "Third"}, 201)
    assert (copy["text"], copy["version"]) == (HOURS, 1)
    gone = delete(page, here, {"version": told["version"]})
    assert gone["removed"]
    assert [one["name"] for one in page.get("patterns")["patterns"] if one["id"]] == ["Third"]
    page.post(f"{here}/undo", {"version": gone["version"]})
    listed = page.get("start")["patterns"]
    assert [one["name"] for one in listed if not one["shipped"]] == ["Garden", "Third"]
    answer = page.browser.get(f"/api/{here}/file")
    assert answer.content.decode() == HOURS
    assert "Garden.toml" in answer.headers["content-disposition"]


def test_patterns_are_looked_for_by_words(shown):
    found = shown.get("patterns", find="flying GEESE")["patterns"]
    assert [one["name"] for one in found] == ["geese-runner"]
    assert len(shown.get("patterns", find="")["patterns"]) == 13


def test_one_that_comes_along_is_read_and_copied(page):
    told = page.get("patterns/pinwheel")
    assert (told["id"], told["version"], told["text"], told["undo"]) == (None, None, WHEELS, False)
    copy = page.post("patterns/pinwheel/copy", {}, 201)
    assert (copy["name"], copy["text"]) == ("my pinwheel", WHEELS)


def test_a_plan_takes_a_kept_name(page):
    made = kept(page)
    blues = page.bundle()
    told = page.post(f"bundle/{blues['id']}/plan", {"pattern": "porch", "rows": 2, "columns": 3})
    assert (told["title"], told["rows"], told["columns"]) == ("Pinwheels", 2, 3)
    page.post(f"patterns/{made['id']}", {"text": HOURS, "version": 1})
    after = page.post(f"bundle/{blues['id']}/plan", {"pattern": "porch"})
    assert after["title"] == "Hourglasses"


def test_fits_say_what_is_short_on_either_side(page):
    text = 'title = "Two"\ndescription = "Two squares."\n[layout]\nblocks = 2\n'
    text += '[[feature]]\nname = "patch"\npiece = "square"\nsize = "5"\nper_block = 1\n'
    kept(page, "Two", text)
    kept(page, "Many", text.replace("blocks = 2", "blocks = 900"))
    blues = page.bundle()
    fits = page.get(f"bundle/{blues['id']}/fits")["fits"]
    by_name = {one["pattern"]: one for one in fits}
    assert by_name.keys() >= {"Two", "Many", "pinwheel"}
    assert (by_name["Two"]["enough"], by_name["Two"]["short"]) == (True, [])
    (short,) = by_name["Many"]["short"]
    assert (short["need"], short["needed"], short["size"]) == ("patch", 900, "5 in")
    assert short["on_hand"] + short["short"] == 900
    assert [one["enough"] for one in fits] == sorted((one["enough"] for one in fits), reverse=True)
    tried = page.get("patterns/fits", name="many")["fits"]
    assert {one["bundle"] for one in tried} == {"blues", "both halves"}
    assert next(one for one in tried if one["bundle"] == "blues") == by_name["Many"]


@pytest.mark.parametrize(
    ("path", "body", "code", "says"),
    [
        ("patterns", {"text": WHEELS}, 400, "name that is not a text"),
        ("patterns", {"name": "x", "text": 5}, 400, "text that is not a pattern file"),
        ("patterns", {"name": "x", "text": "title = 1"}, 400, "x, line 1, field title"),
        ("patterns", {"name": "pinwheel", "text": WHEELS}, 400, "comes with calicount"),
        ("patterns", {"name": "x", "text": WHEELS, "version": 1}, 400, "no pattern of yours"),
        ("patterns", {"name": "x", "text": WHEELS, "version": "1"}, 400, "version that is not"),
        ("patterns/99/undo", {}, 404, "no such pattern"),
        ("patterns/x/undo", {}, 404, "no such pattern"),
        (f"patterns/{'9' * 40}/rename", {"name": "x"}, 404, "no such pattern"),
        ("patterns/pinwheel/rename", {"name": "x"}, 404, "no such pattern"),
    ],
)
def test_what_makes_no_sense_is_refused(shown, path, body, code, says):
    told = shown.post(path, body, code)
    assert says in f"{told['problem']}; {told['cure']}"


def test_fits_of_what_is_not_there(shown):
    assert shown.get("patterns/7", 404)["problem"]
    assert "no pattern is called" in shown.get("patterns/fits", 400, name="x")["problem"]
