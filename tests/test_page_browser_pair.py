"""The board of squares, each task once by pointer and once by keyboard."""

import re

import pytest
from sorting_page import middle, opened, sheet  # noqa: F401 - fixtures
from waiting import until

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect


@pytest.fixture
def pair(sheet):  # noqa: F811 - the fixture
    return shown(sheet)


def shown(sheet):  # noqa: F811 - the fixture
    sheet.go("pair")
    expect(cards(sheet)).to_have_count(len(sheet.sets()["sets"]))
    return sheet


def cards(pair):
    return pair.tab.locator(".board .set:not([data-set=''])")


def tile(pair, square):
    return pair.tab.locator(f'.tile[data-square="{square}"]')


def card(pair, number):
    return pair.tab.locator(f'.board .set[data-set="{number}"]')


def side(pair):
    return pair.tab.locator(".side")


def two_apart(pair):
    """A square of the first set and one of the third."""
    sets = pair.sets()["sets"]
    return sets[0]["squares"][0], sets[2]["squares"][1]


def together(pair):
    return [set(one["squares"]) for one in pair.sets()["sets"]]


def at_hand(pair, square):
    tile(pair, square).click()
    expect(side(pair).locator(".glance h2")).to_contain_text(label_of(pair, square))


def label_of(pair, square):
    return next(one["label"] for one in pair.view()["squares"] if one["id"] == square)


def chosen(pair):
    some = pair.tab.locator('.tile[aria-pressed="true"]')
    return {int(one) for one in some.evaluate_all("(all) => all.map((one) => one.dataset.square)")}


def test_sets_lie_touching_by_family_and_tell_their_difference(pair):
    view = pair.view()
    for told in pair.sets()["sets"][:4]:
        one = card(pair, told["number"])
        first, second = (tile(pair, square).bounding_box() for square in told["squares"])
        assert first["x"] + first["width"] == pytest.approx(second["x"], abs=4.5)
        assert one.get_attribute("aria-label").startswith(f"Set {told['number']}, {told['words']}")
        expect(one.locator("b")).to_have_text(str(told["number"]))
        at_hand(pair, told["squares"][0])
        expect(side(pair)).to_contain_text(f"({told['difference']:.1f})")
    names = [one["name"] for one in view["families"]]
    titles = pair.tab.locator(".family").evaluate_all("(all) => all.map((h) => h.firstChild.data)")
    assert [one for one in titles if one in names] == sorted(
        set(titles) & set(names), key=names.index
    )
    pair.press("Escape")
    expect(pair.tab.locator(".key")).to_contain_text("How to read the board")
    pair.shot("board")


def test_all_cloth_is_seen_at_once_and_labels_are_put_away(pair):
    def lowest():
        return max(
            sum(one.bounding_box()[key] for key in ("y", "height")) for one in cards(pair).all()
        )

    assert lowest() <= 860
    small = tile(pair, two_apart(pair)[0]).bounding_box()["width"]
    labels = pair.tab.locator(".tile-label").first
    expect(labels).to_be_visible()
    pair.button("Labels").click()
    expect(labels).to_be_hidden()
    pair.tab.route("**/api/bundle/*/sets", first_could_change)
    pair.tab.reload()
    expect(cards(pair).first).to_be_visible()
    expect(labels).to_be_hidden()
    expect(pair.tab.locator(".board .close-call")).to_have_text(["?"])
    assert "could change" in card(pair, 1).get_attribute("aria-label")
    assert lowest() <= 860
    assert tile(pair, two_apart(pair)[0]).bounding_box()["width"] >= small
    pair.button("Larger cloth").click()
    assert tile(pair, two_apart(pair)[0]).bounding_box()["width"] > small


def first_could_change(route):
    """The sets as they are, the first marked as one that the photo leaves open."""
    found = route.fetch().json()
    found["sets"][0]["flags"].append("could change")
    route.fulfill(json=found)


def test_a_square_is_dragged_onto_one_of_another_set(pair):
    one, other = two_apart(pair)
    first, third = together(pair)[0], together(pair)[2]
    pair.drag(tile(pair, one), tile(pair, other))
    pair.said("changed places")
    assert first - {one} | {other} in together(pair)
    assert third - {other} | {one} in together(pair)
    expect(pair.tab.locator(".board .set.locked")).to_have_count(2)
    expect(pair.tab.locator(".ghost")).to_have_count(0)
    pair.press("Control+z")
    pair.said("Taken back")
    assert together(pair)[0] == first


def test_what_a_change_would_do_is_shown_before_it_and_marked_after(pair):
    one, other = two_apart(pair)
    first, third = pair.sets()["sets"][0], pair.sets()["sets"][2]
    start, end = middle(tile(pair, one)), middle(tile(pair, other))
    mouse = pair.tab.mouse
    mouse.move(*start)
    mouse.down()
    mouse.move((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, steps=3)
    mouse.move(*end, steps=3)
    ahead = pair.tab.get_by_label("What it would change")
    for told in (first, third):
        expect(ahead).to_contain_text(
            f"Set {told['number']} {told['words']} ({told['difference']:.1f})"
        )
        expect(card(pair, told["number"])).to_have_class(re.compile("breaking"))
    expect(ahead.get_by_role("heading", name="Then")).to_be_visible()
    coming = ahead.locator(".coming").last.locator("strong").all_inner_texts()
    pair.shot("before the drop")
    mouse.up()
    pair.said("changed places")
    expect(ahead).to_be_hidden()
    expect(pair.tab.locator(".board .set.changed")).to_have_count(2)
    marked = pair.tab.locator(".board .set.changed b").all_inner_texts()
    assert {f"Set {number}" for number in marked} == set(coming)
    expect(pair.tab.locator(".changes")).to_contain_text("are no more")
    pair.shot("after the drop")
    pair.button("Take it back").click()
    pair.said("Taken back")
    assert pair.sets()["sets"][0]["squares"] == first["squares"]
    assert pair.sets()["sets"][0]["number"] == first["number"]


def test_sets_stay_until_better_ones_are_asked_for(pair):
    first = together(pair)[0]
    before = {one["number"]: one["squares"] for one in pair.sets()["sets"]}
    at_hand(pair, min(first))
    side(pair).get_by_role("button", name="Take apart").hover()
    ahead = pair.tab.get_by_label("What it would change")
    expect(ahead).to_contain_text("Now")
    expect(pair.tab.locator(".board .set.breaking")).not_to_have_count(0)
    side(pair).get_by_role("button", name="Take apart").click()
    pair.said("are not to be a set")
    expect(ahead).to_be_hidden()
    after = {one["number"]: one["squares"] for one in pair.sets()["sets"]}
    assert {number: before[number] for number in after.keys() & before.keys()} == {
        number: after[number] for number in after.keys() & before.keys()
    }
    pair.button("Better sets").click()
    expect(ahead.get_by_role("button", name="Choose anew")).to_be_focused()
    expect(ahead.locator(".foreseen")).not_to_contain_text("Looking")
    ahead.get_by_label("Number them from 1 again").check()
    ahead.get_by_role("button", name="Choose anew").click()
    pair.said("chosen anew")
    assert [one["number"] for one in pair.sets()["sets"]] == list(range(1, len(together(pair)) + 1))


def test_a_square_is_carried_by_key(pair):
    one, other = two_apart(pair)
    first = together(pair)[0]
    tile(pair, one).focus()
    pair.press("Enter")
    pair.said("is picked up")
    pair.press("Escape")
    pair.said("Put back")
    pair.press("Enter")
    pair.said("is picked up")
    tile(pair, other).focus()
    pair.press("Enter")
    pair.said("changed places")
    assert first - {one} | {other} in together(pair)


def test_arrows_go_from_square_to_square_and_choose_with_shift(pair):
    tiles = pair.tab.locator(".board .tile")
    order = tiles.evaluate_all("(all) => all.map((one) => Number(one.dataset.square))")
    tiles.first.focus()
    stops = pair.tab.locator(".board .tile[tabindex='0']")
    expect(stops).to_have_count(1)
    pair.press("ArrowRight")
    expect(tiles.nth(1)).to_be_focused()
    expect(stops).to_have_count(1)
    pair.press("Shift+ArrowRight", "Shift+ArrowRight")
    assert chosen(pair) == set(order[1:4])
    pair.press("Space")
    assert chosen(pair) == set(order[1:3])
    pair.press("Control+a")
    assert chosen(pair) == set(order)
    pair.press("Escape")
    assert len(chosen(pair)) == 1
    second = middle(tiles.nth(1))
    tiles.nth(1).focus()
    pair.press("ArrowDown")
    assert middle(pair.tab.locator(".tile:focus"))[1] > second[1] + 30


def test_a_set_is_locked_taken_apart_and_let_go(pair):
    first, second = together(pair)[:2]
    at_hand(pair, min(first))
    side(pair).get_by_role("button", name="Lock", exact=True).click()
    pair.said("stays together")
    assert list(map(set, pair.view()["locks"])) == [first]
    expect(pair.tab.locator(".board .set.locked")).to_have_count(1)
    tile(pair, min(first)).focus()
    pair.press("l")
    pair.said("may change again")
    at_hand(pair, min(second))
    side(pair).get_by_role("button", name="Take apart").click()
    pair.said("are not to be a set")
    assert second not in together(pair)
    one = next(iter(together(pair)[0]))
    tile(pair, one).focus()
    pair.press("a")
    pair.said(label_of(pair, one))
    assert len(pair.view()["forbidden"]) == 2


def test_partners_are_shown_and_one_is_chosen_by_key(pair):
    told = pair.sets()["sets"][1]
    tile(pair, told["squares"][0]).focus()
    pair.press("o")
    choices = side(pair).locator(".choice")
    choices.first.wait_for()
    pair.shot("partners")
    label = choices.first.locator("span").first.inner_text()
    choices.first.focus()
    pair.press("Enter")
    pair.said("changed places")
    chosen_one = next(s["id"] for s in pair.view()["squares"] if s["label"] == label)
    mate = next(one for one in together(pair) if chosen_one in one) - {chosen_one}
    assert mate < set(told["squares"])


def test_squares_are_found_by_label_value_and_colour(pair):
    view = pair.view()
    find = pair.tab.get_by_label("Find squares")
    passed = pair.tab.locator(".board .tile:not(.passed)")
    marked = "(all) => all.forEach((one) => { one.seen = true; })"
    pair.tab.locator(".board .tile").evaluate_all(marked)
    pair.press("/")
    expect(find).to_be_focused()
    pair.tab.keyboard.type("R2C3")
    expect(passed).to_have_count(1)
    expect(pair.tab.locator(".changes")).to_contain_text("1 of 24 squares")
    find.fill("blue")
    blue = pair.server.get(f"bundle/{view['id']}/find", words="blue")["squares"]
    assert 0 < len(blue) < 24
    pair.tab.wait_for_function(
        "(most) => document.querySelectorAll('.board .tile:not(.passed)').length >= most",
        arg=len(blue),
    )
    find.fill("")
    expect(passed).to_have_count(24)
    kept = "(all) => all.every((one) => one.seen)"
    assert pair.tab.locator(".board .tile").evaluate_all(kept), "a thousand take long to make anew"
    pair.button("dark", exact=True).click()
    dark = {one["id"] for one in view["squares"] if one["value"] == "dark"}
    expect(passed).to_have_count(len(dark))
    beside = [one.bounding_box() for one in cards(pair).first.locator(".tile").all()]
    assert len({one["y"] for one in beside}) == 1
    assert beside[1]["x"] == pytest.approx(beside[0]["x"] + beside[0]["width"], abs=4.5)
    pair.button("Choose all").click()
    assert chosen(pair) == dark
    pair.shot("many found and chosen")
    find.fill("xyzzy")
    expect(pair.tab.locator(".board")).to_contain_text("No square fits that")
    expect(pair.button("Choose all")).to_have_count(0)
    find.fill("")
    expect(pair.tab.locator(".board-empty")).to_be_hidden()


def test_many_are_chosen_by_frame_and_marked_at_once(pair):
    first = middle(pair.tab.locator(".board .tile").first)
    box = pair.tab.locator(".board").bounding_box()
    pair.drag_between((box["x"] + 3, box["y"] + 3), (first[0] + 140, first[1] + 5))
    some = chosen(pair)
    assert len(some) >= 2
    pair.button("Held back").click()
    pair.said("held back")
    assert {one["id"] for one in pair.view()["squares"] if one["marks"] == ["held back"]} == some
    aside = pair.tab.locator(".board .tile[data-form='aside']")
    expect(aside).to_have_count(len(some))
    pair.press("Control+z")
    pair.said("Taken back")
    expect(aside).to_have_count(0)
    two = list(together(pair)[0])
    tile(pair, two[0]).click()
    tile(pair, two[1]).click(modifiers=["ControlOrMeta"])
    assert chosen(pair) == set(two)
    pair.tab.get_by_label("Reserve for a project").fill("porch quilt")
    pair.press("Enter")
    pair.said("reserved for porch quilt")
    expect(pair.tab.locator(".board .tile[data-form='reserved']")).to_have_count(2)
    pair.shot("two reserved")


def test_the_rules_are_slid_and_sets_follow(pair):
    pair.button("Rules").click()
    slider = pair.tab.get_by_label("Largest difference that counts")
    slider.focus()
    pair.press("Home")
    expect(pair.tab.locator("output").first).to_have_text("1")
    until(lambda: pair.view()["rules"]["tolerance"] == 1)
    loose = sum(not one["counts"] for one in pair.sets()["sets"])
    assert loose
    expect(pair.tab.locator(".board .set.loose")).to_have_count(loose)
    area = slider.bounding_box()
    y = area["y"] + area["height"] / 2
    pair.drag_between((area["x"] + 8, y), (area["x"] + area["width"] - 8, y))
    until(lambda: pair.view()["rules"]["tolerance"] == 20)
    pair.tab.get_by_label("Least step").focus()
    pair.press(*["ArrowRight"] * 12)
    expect(pair.tab.locator("output").nth(1)).to_have_text("12 of 100")
    pair.tab.get_by_label("Squares in a set").select_option("3")
    expect(cards(pair).first.locator(".tile")).to_have_count(3)
    pair.tab.get_by_label("Two of one fabric").select_option("avoid")
    until(lambda: pair.view()["rules"]["same_fabric"] == "avoid")
    rules = pair.view()["rules"]
    assert (rules["least_step"], rules["set_size"]) == (12, 3)
    pair.shot("rules")


def test_a_square_in_no_set_is_dragged_into_one(sheet):  # noqa: F811 - the fixture
    view = sheet.view()
    held = sheet.sets()["sets"][0]["squares"][0]
    sheet.server.do(view, {"kind": "mark", "squares": [held], "mark": "held back", "on": True})
    pair = shown(sheet)
    spare = next(one["square"] for one in pair.sets()["unused"] if one["square"] != held)
    expect(pair.tab.locator(".board")).to_contain_text("no square is left to go with it")
    out = pair.sets()["sets"][0]["squares"][1]
    pair.drag(tile(pair, held), tile(pair, out))
    pair.said("is held back")
    pair.drag(tile(pair, spare), tile(pair, out))
    pair.said("took the place of")
    assert any(spare in one for one in together(pair))


def test_undo_and_redo_without_end(pair):
    start = together(pair)
    for number in (0, 1, 2):
        tile(pair, min(start[number])).focus()
        pair.press("l")
        pair.said("stays together")
    for _ in range(3):
        pair.press("Control+z")
        pair.said("Taken back")
    assert together(pair) == start
    assert pair.view()["undo"] is None
    for _ in range(3):
        pair.press("Control+Shift+z")
        pair.said("Done again")
    assert len(pair.view()["locks"]) == 3


def test_everything_in_grey(pair):
    pair.press("v")
    picture = pair.tab.locator(".tile img").first
    expect(pair.tab.locator(".tile .cloth").first).to_have_css("filter", 'url("#value")')
    picture.evaluate("async (one) => { await one.decode(); }")
    told = pair.view()["squares"]
    first = pair.tab.locator(".tile").first
    square = next(s for s in told if str(s["id"]) == first.get_attribute("data-square"))
    pair.shot("in grey")
    grey = int(square["grey"][1:3], 16)
    assert seen_grey(pair, picture) == pytest.approx(grey, abs=12)


def seen_grey(pair, picture):
    """The mean of what the screen shows of a picture; that it is grey is checked."""
    import io

    import numpy as np
    from PIL import Image

    area = picture.bounding_box()
    inner = {key: area[key] + 8 if key in "xy" else area[key] - 16 for key in area}
    pixels = np.asarray(Image.open(io.BytesIO(pair.tab.screenshot(clip=inner))).convert("RGB"))
    assert np.ptp(pixels.astype(int), axis=2).max() <= 3
    return pixels.mean()
