"""Bundles through the page's server: what is shown, what is done, and two tabs at once."""

from __future__ import annotations

import re

import pytest

from catalog.catalogue.events.event_kinds import CLASSES


def by_label(view):
    return {one["label"]: one for one in view["squares"]}


def test_the_start_lists_what_is_kept(shown):
    told = shown.get("start")
    assert [one["name"] for one in told["bundles"]] == ["blues", "both halves"]
    first = told["bundles"][0]
    assert (first["squares"], first["free"], first["photos"]) == (24, 24, 1)
    assert (first["side"], first["side_in"]) == ("5 in", 5.0)
    assert {"pinwheel", "hourglass"} <= {one["name"] for one in told["patterns"]}
    assert "daylight" in told["caution"]
    assert told["open"] is None
    assert shown.state.first_told.is_set()


def test_a_bundle_shows_all_that_is_known_of_its_squares(shown):
    view = shown.bundle()
    assert len(view["squares"]) == 24
    square = by_label(view)["R2C3"]
    assert (square["row"], square["col"]) == (2, 3)
    assert square["seen"] == {"corners": square["corners"], "row": 2, "col": 3}
    photo = view["photos"][0]
    assert all(0 <= x <= photo["wide"] and 0 <= y <= photo["high"] for x, y in square["corners"])
    assert square["ink"] in {"#000", "#fff"}
    grey = square["grey"][1:]
    assert grey[:2] == grey[2:4] == grey[4:]
    for one in view["squares"]:
        for bar in (one["palette"], one["greys"]):
            assert sum(percent for _, percent in bar) == 100
            assert all(re.fullmatch("#[0-9a-f]{6}", colour) for colour, _ in bar)
        assert one["shares"]
        assert isinstance(one["look"], list)
    assert all(0 <= one["doubt"] <= 1 for one in view["squares"])
    told = [n for family in view["families"] for n in family["squares"]]
    assert sorted(told) == sorted(one["id"] for one in view["squares"])
    assert (view["undo"], view["redo"], view["history"]) == (None, None, [])


def test_letters_on_a_colour_have_the_contrast_that_wcag_asks_for(shown):
    """WCAG 2.2, 1.4.3: 4.5 to 1; black or white always reaches it on any colour."""

    def luminance(code):
        shares = [int(code[n : n + 2], 16) / 255 for n in (1, 3, 5)]
        linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
        return sum(w * s for w, s in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    for one in shown.bundle("both halves")["squares"]:
        light, dark = sorted(
            [luminance(one["hex"]), 1.0 if one["ink"] == "#fff" else 0.0], reverse=True
        )
        assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_an_unknown_bundle_is_not_there(shown):
    for path in ("bundle/99", "bundle/99/sets", "photo/99.jpg", "crop/9999.jpg", "jobs/abc"):
        answer = shown.browser.get(f"/api/{path}")
        assert answer.status_code == 404
        assert set(answer.json()) == {"problem", "cure"}
    assert shown.browser.get("/api/bundle/x").status_code == 404


def test_forms_get_their_limits_from_what_can_be_said(shown):
    limits = shown.get("start")["limits"]
    assert limits.keys() == CLASSES.keys()
    assert limits["rules"]["tolerance"] == {"type": "number", "minimum": 1, "maximum": 20}
    assert limits["rules"]["set_size"] == {"type": "integer", "minimum": 2, "maximum": 4}
    assert limits["place"].keys() == {"square", "row", "col"}
    assert limits["place"]["row"] == {"type": "integer", "minimum": 1, "maximum": 1000}
    assert limits["name"]["text"]["maxLength"] == limits["reserve"]["project"]["maxLength"] == 80
    assert limits["role"]["role"]["enum"] == ["", "background", "feature"]
    assert limits["swap"].keys() == {"first", "second", "a", "b"}


def test_marks_names_and_roles(page):
    view = page.bundle()
    ids = {label: one["id"] for label, one in by_label(view).items()}
    view = page.do(
        view,
        {"kind": "mark", "squares": [ids["R1C1"]], "mark": "damaged", "on": True},
        {"kind": "name", "squares": [ids["R1C2"]], "text": " <b>grandmother's</b>  dress "},
        {"kind": "role", "squares": [ids["R1C3"]], "role": "background"},
    )
    now = by_label(view)
    assert now["R1C1"]["state"] == "damaged"
    assert now["R1C2"]["said"] == "<b>grandmother's</b> dress"
    assert now["R1C3"]["role"] == "background"
    assert view["undo"] == "R1C3 is for the background"
    assert [one["words"] for one in view["history"]] == [
        "R1C3 is for the background",
        "R1C2 is called “<b>grandmother's</b> dress”",
        "R1C1 is damaged",
    ]


def test_what_is_no_square_goes_out_and_comes_back_by_undo(page):
    view = page.bundle()
    before = by_label(view)["R4C6"]
    gone = page.do(view, {"kind": "not a square", "squares": [before["id"]]})
    assert len(gone["squares"]) == 23
    (out,) = gone["out"]
    assert (out["id"], out["dropped"], out["hex"], out["lab"]) == (
        *(before["id"], "not a square", "", None),
    )
    back = page.post(f"bundle/{view['id']}/undo", {"version": gone["version"]})
    assert by_label(back)["R4C6"] == before
    assert back["redo"] == "R4C6 is no square"
    assert back["history"][0]["undone"] is True
    again = page.post(f"bundle/{view['id']}/redo", {"version": back["version"]})
    assert len(again["squares"]) == 23


def test_undo_and_redo_without_end(page):
    view = page.bundle()
    square = view["squares"][0]["id"]
    for text in ("one", "two", "three"):
        view = page.do(view, {"kind": "name", "squares": [square], "text": text})
    way = f"bundle/{view['id']}"
    for expected in ("two", "one", ""):
        view = page.post(f"{way}/undo", {"version": view["version"]})
        assert view["squares"][0]["said"] == expected
    assert view["undo"] is None
    told = page.post(f"{way}/undo", {"version": view["version"]}, code=400)
    assert "nothing to undo" in told["problem"]
    for expected in ("one", "two", "three"):
        view = page.post(f"{way}/redo", {"version": view["version"]})
        assert view["squares"][0]["said"] == expected
    assert view["redo"] is None
    first = view["history"][-1]["number"]
    view = page.post(f"{way}/undo", {"version": view["version"], "number": first})
    assert view["squares"][0]["said"] == "three"
    assert [one["undone"] for one in view["history"]] == [False, False, True]


def test_two_tabs_never_write_over_one_another_in_silence(page):
    one = page.bundle()
    other = page.bundle()
    square = one["squares"][0]["id"]
    now = page.do(one, {"kind": "name", "squares": [square], "text": "first tab"})
    late = {"kind": "name", "squares": [square], "text": "second tab"}
    told = page.do(other, late, code=409)
    assert "changed elsewhere" in told["problem"]
    assert told["version"] == now["version"]
    for way in ("undo", "redo"):
        page.post(f"bundle/{one['id']}/{way}", {"version": other["version"]}, code=409)
    assert page.bundle()["squares"][0]["said"] == "first tab"
    page.do(page.bundle(), late)
    assert page.bundle()["squares"][0]["said"] == "second tab"


def test_a_corner_put_right_measures_that_square_again_and_undo_gives_it_back(page):
    view = page.bundle()
    before = by_label(view)["R1C1"]
    inward = [[x + (2 if n in {0, 3} else 0), y] for n, (x, y) in enumerate(before["corners"])]
    moved = page.do(view, {"kind": "corners", "square": before["id"], "corners": inward})
    now = by_label(moved)["R1C1"]
    assert now["moved"] is True
    assert now["corners"] == inward
    assert now["seen"]["corners"] == before["corners"]
    assert now["v"] != before["v"]
    assert by_label(moved)["R3C3"]["lab"] == by_label(view)["R3C3"]["lab"]
    back = page.post(f"bundle/{view['id']}/undo", {"version": moved["version"]})
    assert by_label(back)["R1C1"] == before


def test_a_missed_square_is_proposed_where_the_rows_say_and_drawn(page):
    view = page.bundle()
    photo = view["photos"][0]["id"]
    lost = by_label(view)["R2C4"]
    view = page.do(view, {"kind": "not a square", "squares": [lost["id"]]})
    x, y = (sum(p[n] for p in lost["corners"]) / 4 for n in (0, 1))
    way = f"bundle/{view['id']}/propose"
    told = page.post(way, {"photo": photo, "x": x, "y": y})
    assert (told["row"], told["col"], told["label"]) == (2, 4, "R2C4")
    assert told == page.post(way, {"photo": photo, "row": 2, "col": 4})
    side = lost["corners"][1][0] - lost["corners"][0][0]
    for (a, b), (c, d) in zip(told["corners"], lost["corners"], strict=True):
        assert abs(a - c) < side / 8
        assert abs(b - d) < side / 8
    drawn = page.do(
        view,
        {"kind": "missed", "photo": photo, "corners": told["corners"], "row": 2, "col": 4},
    )
    (square,) = [one for one in drawn["squares"] if one["drawn"]]
    assert (square["label"], square["seen"]) == ("R2C4", None)
    assert square["doubt"] < 0.5
    assert page.browser.get(f"/api/crop/{square['id']}.jpg").status_code == 200


def test_a_missed_square_has_row_and_column_or_neither(page):
    view = page.bundle()
    corners = [[10, 10], [40, 10], [40, 40], [10, 40]]
    missed = {"kind": "missed", "photo": view["photos"][0]["id"], "corners": corners}
    page.refused(view, {**missed, "row": 9}, says="the page sent col that is not a whole number")
    drawn = page.do(view, {**missed, "col": 9})
    (square,) = [one for one in drawn["squares"] if one["drawn"]]
    assert (square["row"], square["col"]) == (None, None)
    far = {**missed, "corners": [[0, 0], [9e9, 0], [1, 1], [0, 1]]}
    page.refused(drawn, far, says="a corner lies outside the photo")


def test_a_point_on_a_square_that_is_there_proposes_one_in_no_row(shown):
    view = shown.bundle()
    square = by_label(view)["R2C2"]
    x, y = (sum(p[n] for p in square["corners"]) / 4 for n in (0, 1))
    told = shown.post(f"bundle/{view['id']}/propose", {"photo": square["photo"], "x": x, "y": y})
    assert (told["row"], told["label"]) == (None, "")


def test_a_white_square_that_another_hides_tells_nothing_of_the_light(page):
    view = page.bundle()
    one = by_label(view)["R1C1"]
    missed = {"kind": "missed", "photo": one["photo"], "corners": one["corners"]}
    twice = page.do(view, missed)
    (drawn,) = [one for one in twice["squares"] if one["drawn"]]
    evidence = []
    for square in (one["id"], drawn["id"]):
        said = page.do(page.bundle(), {"kind": "white", "square": square})
        evidence.append(said["photos"][0]["evidence"])
    assert evidence.count(twice["photos"][0]["evidence"]) == 1


def test_what_is_white_is_said_and_all_colours_follow(page):
    view = page.bundle()
    lightest = max(view["squares"], key=lambda one: one["lab"][0])
    said = page.do(view, {"kind": "white", "square": lightest["id"]})
    assert said["white"] == lightest["id"]
    assert said["photos"][0]["evidence"] != view["photos"][0]["evidence"]
    changed = [
        one["label"]
        for one, old in zip(said["squares"], view["squares"], strict=True)
        if one["lab"] != old["lab"]
    ]
    assert len(changed) == 24
    back = page.do(said, {"kind": "white", "square": None})
    assert [one["lab"] for one in back["squares"]] == [one["lab"] for one in view["squares"]]


def test_fabrics_are_joined_and_parted(page):
    view = page.bundle()
    one, two = (
        view["squares"][0],
        next(s for s in view["squares"] if s["fabric"] != view["squares"][0]["fabric"]),
    )
    joined = page.do(view, {"kind": "one fabric", "squares": [one["id"], two["id"]]})
    fabric = {s["id"]: s["fabric"] for s in joined["squares"]}
    assert fabric[one["id"]] == fabric[two["id"]]
    pile = next(f for f in joined["fabrics"] if one["id"] in f["squares"])
    assert two["id"] in pile["squares"]
    parted = page.do(joined, {"kind": "own fabric", "squares": [one["id"]]})
    fabric = {s["id"]: s["fabric"] for s in parted["squares"]}
    assert fabric[one["id"]] != fabric[two["id"]]


def test_places_photos_and_grounds(page):
    view = page.bundle("both halves")
    ids = {label: one["id"] for label, one in by_label(view).items()}
    first, second = view["photos"]
    view = page.do(view, {"kind": "place", "square": ids["R1C1"], "row": 1, "col": 2})
    assert by_label(view)["R1C1"]["id"] == ids["R1C2"]
    view = page.do(view, {"kind": "ground", "photo": first["id"], "ground": "mat"})
    assert view["photos"][0]["ground"] == "mat"
    for lamp in (True, None):
        view = page.do(view, {"kind": "lamp", "photo": first["id"], "lamp": lamp})
        assert view["photos"][0]["lamp"] is lamp
    view = page.do(view, {"kind": "drop photo", "photo": second["id"]})
    assert [one["name"] for one in view["photos"]] == ["left.jpg"]
    assert {one["dropped"] for one in view["out"]} == {"its photo was taken out"}
    assert view["undo"] == "Right.jpg taken out of the bundle"


def test_two_photos_of_one_square(page):
    view = page.bundle("both halves")
    left = next(s for s in view["squares"] if s["label"] == "R1C3")
    right = next(s for s in view["squares"] if s["label"] == "R5C1")
    view = page.do(view, {"kind": "same piece", "squares": [left["id"], right["id"]]})
    page.refused(
        view, {"kind": "same piece", "squares": [right["id"], left["id"]]}, says="shown twice"
    )
    (twin,) = view["out"]
    assert (twin["id"], twin["twin_of"], twin["dropped"]) == (
        right["id"],
        left["id"],
        "shown twice",
    )


@pytest.mark.parametrize(
    ("deed", "says"),
    [
        ({}, "can't be done"),
        ({"kind": "drop table"}, "can't be done"),
        ({"kind": ["mark"]}, "can't be done"),
        ({"kind": "mark", "squares": [1], "mark": "lost", "on": True}, "mark that is not one of"),
        ({"kind": "mark", "squares": [1], "mark": "cut", "on": "yes"}, "yes or no"),
        ({"kind": "name", "squares": [], "text": "x"}, "a list of squares"),
        ({"kind": "name", "squares": [10**6], "text": "x"}, "not in the bundle"),
        ({"kind": "name", "squares": [True], "text": "x"}, "a square's number"),
        ({"kind": "name", "squares": [1], "text": "x" * 300}, "a text"),
        ({"kind": "white", "square": "R1C1"}, "a square's number"),
        ({"kind": "place", "square": 1, "row": 0, "col": 1}, "row 0 can't be meant"),
        ({"kind": "place", "square": 1, "row": 1.5, "col": 1}, "a whole number"),
        ({"kind": "corners", "square": 1, "corners": [[0, 0]]}, "four points"),
        ({"kind": "corners", "square": 1, "corners": None}, "four points"),
        ({"kind": "corners", "square": 1, "corners": [[0, 0], [9, 0], [9, 9], [-5, 9]]}, "outside"),
        (
            {"kind": "corners", "square": 1, "corners": [[0, 0], [9, 9], [90, 0], [0, 90]]},
            "no squar",
        ),
        (
            {"kind": "corners", "square": 1, "corners": [[0, 90], [90, 90], [90, 0], [0, 0]]},
            "clockw",
        ),
        ({"kind": "ground", "photo": 77, "ground": "wood"}, "not in the bundle"),
        ({"kind": "ground", "photo": 1, "ground": "grass"}, "one of white"),
        ({"kind": "same piece", "squares": [1, 2, 3]}, "two different"),
        ({"kind": "lock", "sets": [[1, 2, 3]]}, "sets are of 2"),
        ({"kind": "lock", "sets": [[1, 1]]}, "different squares"),
        ({"kind": "forbid", "pairs": [[1]]}, "different squares"),
        ({"kind": "take apart", "squares": [1]}, "at least two"),
        ({"kind": "swap", "first": [1, 2], "second": [3, 4], "a": 3, "b": 1}, "two sets"),
        ({"kind": "rules", "tolerance": "5"}, "a number"),
        ({"kind": "rules", "tolerance": -1}, "from 1 to 20"),
        ({"kind": "rules", "tolerance": 20.5}, "from 1 to 20"),
        ({"kind": "rules", "least_step": 101}, "from 0 to 100"),
        ({"kind": "rules", "set_size": 9}, "can't be meant"),
        ({"kind": "rules", "least_step": 20, "most_step": 10}, "turn them round"),
        ({"kind": "reserve", "project": " ", "sets": [[1, 2]]}, "without a name"),
        ({"kind": "stage", "project": "x", "squares": [1], "stage": "lost"}, "one of reserved"),
        ({"kind": "hang", "wall": "w", "swap": ["A1", "A1"]}, "two different places"),
        ({"kind": "hang", "wall": "w", "done": "../x", "on": True}, "a place on the wall"),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(shown, deed, says):
    view = shown.bundle()
    fine = {"kind": "name", "squares": [view["squares"][0]["id"]], "text": "kept"}
    shown.refused(view, fine, deed, says=says)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"{", "no JSON"),
        (b"[]", "no plain JSON object"),
        (b'"x"', "no plain JSON object"),
        (b'{"version": NaN}', "no JSON"),
        (b"\xff\xfe", "no JSON"),
        (b'{"deeds": ' + b"[" * 40 + b"]" * 40 + b"}", "no plain JSON object"),
        (b"[" * 100_000, "no JSON"),
        (b'{"version": 1}', "deeds"),
        (b'{"deeds": [1]}', "version"),
        (b'{"version": 1e99, "deeds": []}', "version"),
        (b'{"version": 1, "deeds": {}}', "deeds"),
    ],
)
def test_what_is_no_request_is_refused_in_a_sentence(shown, content, says):
    view = shown.bundle()
    kept = content.replace(b'"version": 1}', b'"version": %d}' % view["version"])
    kept = kept.replace(b'"version": 1,', b'"version": %d,' % view["version"])
    answer = shown.browser.post(
        f"/api/bundle/{view['id']}/deeds",
        content=kept,
        headers={"Content-Type": "application/json"},
    )
    assert answer.status_code == 400
    assert says in answer.json()["problem"]


def test_more_than_a_change_can_be_is_cut_off(shown):
    answer = shown.browser.post(
        "/api/bundles",
        content=(b" " * 100_000 for _ in range(40)),
        headers={"Content-Type": "application/json"},
    )
    assert answer.status_code == 413
    said = shown.browser.post("/api/bundles", json={"name": "x" * 1_100_000})
    assert said.status_code == 413


def test_a_new_name_is_checked_before_a_photo_is_sent(shown):
    assert shown.post("bundles", {"name": "  two  words ", "side": "2 1/2"}) == {
        "name": "two words",
        "side": "5/2",
    }
    for body, says in (
        ({"name": "BLUES"}, "BLUES already"),
        ({"name": ""}, "can't be called"),
        ({"name": "x" * 81}, "can't be called"),
        ({"name": 5}, "needs a name"),
        ({"name": "x", "side": "wide"}, "wide"),
        ({"name": "x", "side": "900"}, "can't be meant"),
    ):
        assert says in shown.post("bundles", body, code=400)["problem"]


def test_a_bundle_is_renamed_and_removed_when_its_name_is_typed_again(page):
    view = page.bundle()
    way = f"bundle/{view['id']}"
    assert page.post(f"{way}/rename", {"name": "sea"})["name"] == "sea"
    taken = page.post(f"{way}/rename", {"name": "both halves"}, code=400)
    assert "already" in taken["problem"]
    no = page.browser.request("DELETE", f"/api/{way}", json={"name": "blues"})
    assert no.status_code == 400
    assert "still there" in no.json()["problem"]
    yes = page.browser.request("DELETE", f"/api/{way}", json={"name": "sea"})
    assert yes.status_code == 200
    assert [one["name"] for one in page.get("start")["bundles"]] == ["both halves"]


def test_command_and_page_take_turns(page, kept):
    view = page.bundle()
    ended = kept("square", "mark", "blues", "damaged", "R1C1")
    assert ended.exit_code == 0, ended.output
    fine = {"kind": "name", "squares": [view["squares"][1]["id"]], "text": "x"}
    page.do(view, fine, code=409)
    now = page.bundle()
    assert by_label(now)["R1C1"]["state"] == "damaged"
    page.do(now, fine)


@pytest.mark.parametrize("number", [10**30, "9" * 5000])
def test_a_number_that_no_bundle_can_have_is_not_there(shown, number):
    answer = shown.browser.get(f"/api/bundle/{number}")
    assert answer.status_code == 404
    assert set(answer.json()) == {"problem", "cure"}


def test_a_missed_square_never_takes_the_name_of_one_on_another_photo(page):
    view = page.bundle("both halves")
    second = view["photos"][1]["id"]
    there = by_label(view)
    first_row, next_row = (there[label]["corners"] for label in ("R5C2", "R6C2"))
    middles = [[sum(p[n] for p in row) / 4 for n in (0, 1)] for row in (first_row, next_row)]
    x, y = (max(1.0, 2 * a - b) for a, b in zip(*middles, strict=True))
    way = f"bundle/{view['id']}/propose"
    told = page.post(way, {"photo": second, "x": x, "y": y})
    assert (told["row"], told["label"]) == (None, "")
    for row in (4, 5):
        told = page.post(way, {"photo": second, "row": row, "col": 2}, 400)
        assert f"R{row}C2 is a square already" in told["problem"]


def test_corners_on_a_photo_that_was_taken_out_are_refused(page):
    view = page.bundle("both halves")
    square = by_label(view)["R5C1"]
    view = page.do(view, {"kind": "drop photo", "photo": square["photo"]})
    deed = {"kind": "corners", "square": square["id"], "corners": square["corners"]}
    page.refused(view, deed, says="taken out")


def test_a_page_follows_a_bundle_whose_name_another_bundle_has_by_now(page):
    blues, halves = page.bundle(), page.bundle("both halves")
    for number, name in ((blues["id"], "x"), (halves["id"], "blues"), (blues["id"], "both halves")):
        page.post(f"bundle/{number}/rename", {"name": name})
    assert len(page.get(f"bundle/{blues['id']}")["photos"]) == 1
    assert len(page.get(f"bundle/{halves['id']}")["photos"]) == 2


def test_pasted_words_are_read_beside_the_words_they_come_from(shown):
    told = shown.post("words", {"text": "Tan: 12 squares 10 x 10 cm\nTan: 2 m\nCut 9 squares."})
    assert told["pieces"] == [
        {"cloth": "tan", "says": "12 squares 10.0 cm", "text": "12 squares 10 x 10 cm"}
    ]
    assert told["buys"] == [{"cloth": "tan", "says": "2 m", "text": "Tan: 2 m"}]
    assert told["unread"] == ["Cut 9 squares"]
    assert len(told["doubts"]) == 1


@pytest.mark.parametrize("text", [None, 7, "", "  ", ["x"]])
def test_what_is_no_text_is_refused(shown, text):
    assert "no words to read" in shown.post("words", {"text": text}, 400)["problem"]


def test_a_whole_book_is_refused(shown):
    assert "more than" in shown.post("words", {"text": "x" * 200_001}, 413)["problem"]
