"""Sets on the page, each task once by pointer and once by keyboard."""

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
    expect(sheet.tab.locator(".set")).to_have_count(len(sheet.sets()["sets"]))
    return sheet


def piece(pair, square):
    return pair.tab.locator(f'.piece[data-square="{square}"]')


def card(pair, number):
    return pair.tab.get_by_role("listitem", name=f"Set {number}", exact=True)


def two_apart(pair):
    """A square of the first set and one of the third."""
    sets = pair.sets()["sets"]
    return sets[0]["squares"][0], sets[2]["squares"][1]


def together(pair):
    return [set(one["squares"]) for one in pair.sets()["sets"]]


def shown_together(pair):
    pieces = "(some) => some.map((one) => [...one.querySelectorAll('.piece')]"
    told = pair.tab.locator(".set").evaluate_all(
        pieces + ".map((piece) => Number(piece.dataset.square)))"
    )
    return list(map(set, told))


def test_a_set_tells_its_difference_in_words_and_as_a_number(pair):
    for told in pair.sets()["sets"][:3]:
        one = card(pair, told["number"])
        expect(one).to_contain_text(told["words"])
        expect(one).to_contain_text(f"({told['difference']:.1f})")
        shown_first = one.locator(".piece").first
        expect(shown_first).to_have_attribute("data-square", str(told["squares"][0]))
        label = next(s["label"] for s in pair.view()["squares"] if s["id"] == told["squares"][0])
        expect(shown_first).to_contain_text(label)
    pair.shot("sets")


def test_a_square_is_dragged_onto_one_of_another_set(pair):
    one, other = two_apart(pair)
    first, third = together(pair)[0], together(pair)[2]
    pair.drag(piece(pair, one), piece(pair, other))
    pair.said("changed places")
    assert first - {one} | {other} in together(pair)
    assert third - {other} | {one} in together(pair)
    expect(pair.tab.locator(".set.locked")).to_have_count(2)
    expect(pair.tab.locator(".ghost")).to_have_count(0)
    pair.button("Undo").click()
    pair.said("Taken back")
    assert together(pair)[0] == first


def test_a_square_is_carried_by_key(pair):
    one, other = two_apart(pair)
    first = together(pair)[0]
    piece(pair, one).focus()
    pair.press("Enter")
    pair.said("is picked up")
    expect(piece(pair, one)).to_have_attribute("aria-pressed", "true")
    pair.press("Escape")
    pair.said("Put back")
    pair.press("Enter", "ArrowRight")
    expect(piece(pair, one)).not_to_be_focused()
    piece(pair, other).focus()
    pair.press("Enter")
    pair.said("changed places")
    assert first - {one} | {other} in together(pair)


def test_arrows_go_from_square_to_square_and_tab_passes_on(pair):
    first = pair.tab.locator(".piece").first
    first.focus()
    stops = pair.tab.locator(".set .piece[tabindex='0']")
    expect(stops).to_have_count(1)
    pair.press("ArrowRight")
    second = pair.tab.locator(".piece").nth(1)
    expect(second).to_be_focused()
    expect(stops).to_have_count(1)
    pair.press("ArrowDown")
    below = pair.tab.locator(".piece:focus")
    assert middle(below)[1] > middle(second)[1] + 50
    pair.press("Tab")
    expect(pair.tab.locator(":focus")).to_have_text("Lock")


def test_a_set_is_locked_and_let_go(pair):
    first = together(pair)[0]
    card(pair, 1).get_by_role("button", name="Lock").click()
    pair.said("stays together")
    assert list(map(set, pair.view()["locks"])) == [first]
    expect(card(pair, 1).get_by_role("button", name="Unlock")).to_have_attribute(
        "aria-pressed", "true"
    )
    pair.tab.locator(".set.locked .piece").first.focus()
    pair.press("l")
    pair.said("may change again")
    assert pair.view()["locks"] == []


def test_a_set_is_taken_apart(pair):
    first, second = together(pair)[:2]
    card(pair, 1).get_by_role("button", name="Take apart").click()
    pair.said("are not to be a set")
    assert first not in together(pair)
    until(lambda: shown_together(pair) == together(pair))
    one = next(iter(second))
    piece(pair, one).focus()
    pair.press("a")
    labels = [s["label"] for s in pair.view()["squares"] if s["id"] in second]
    pair.said(labels[0])
    assert second not in together(pair)
    assert len(pair.view()["forbidden"]) == 2


def test_others_are_shown_and_one_is_chosen(pair):
    told = pair.sets()["sets"][1]
    card(pair, 2).get_by_role("button", name="Show others").click()
    choices = card(pair, 2).locator(".choice")
    choices.first.wait_for()
    pair.shot("others")
    expect(choices.first).to_be_focused()
    label = choices.first.locator("span").first.inner_text()
    choices.first.click()
    pair.said("changed places")
    chosen = next(s["id"] for s in pair.view()["squares"] if s["label"] == label)
    mate = next(one for one in together(pair) if chosen in one) - {chosen}
    assert mate < set(told["squares"])


def test_others_are_chosen_by_key(pair):
    before = together(pair)
    pair.tab.locator(".set .piece").nth(4).focus()
    pair.press("o")
    expect(pair.tab.locator(".choice").first).to_be_focused()
    pair.press("Tab", "Enter")
    pair.said("changed places")
    assert together(pair) != before


def test_the_tolerance_is_slid_and_sets_follow(pair):
    slider = pair.tab.get_by_label("Largest difference that counts")
    slider.focus()
    pair.press("Home")
    expect(pair.tab.locator("output").first).to_have_text("1")
    until(lambda: pair.view()["rules"]["tolerance"] == 1)
    loose = sum(not one["counts"] for one in pair.sets()["sets"])
    assert loose
    expect(pair.tab.locator(".set.loose")).to_have_count(loose)
    area = slider.bounding_box()
    y = area["y"] + area["height"] / 2
    pair.drag_between((area["x"] + 8, y), (area["x"] + area["width"] - 8, y))
    expect(pair.tab.locator("output").first).to_have_text("20")
    until(lambda: pair.view()["rules"]["tolerance"] == 20)
    expect(pair.tab.locator(".set.loose")).to_have_count(
        sum(not one["counts"] for one in pair.sets()["sets"])
    )


def test_the_step_from_dark_to_light_and_the_size_are_chosen(pair):
    pair.tab.get_by_label("Least step").focus()
    pair.press(*["ArrowRight"] * 12)
    expect(pair.tab.locator("output").nth(1)).to_have_text("12 of 100")
    expect(pair.tab.locator("#undo")).to_be_enabled()
    pair.tab.get_by_label("Squares in a set").select_option("3")
    expect(pair.tab.locator(".set").first.locator(".piece")).to_have_count(3)
    pair.tab.get_by_label("Two of one fabric").select_option("avoid")
    pair.tab.wait_for_function("() => document.querySelector('#undo').title.includes('fabric')")
    rules = pair.view()["rules"]
    assert (rules["least_step"], rules["set_size"], rules["same_fabric"]) == (12, 3, "avoid")


def test_the_least_alike_are_shown_first_or_by_family(pair):
    pair.tab.get_by_label("Order").select_option("worst")
    worst = max(pair.sets()["sets"], key=lambda one: one["difference"])
    expect(pair.tab.locator(".set h3").first).to_have_text(f"Set {worst['number']}")
    pair.tab.get_by_label("Order").focus()
    pair.press("ArrowDown")
    families = pair.tab.locator(".family > h3")
    names = [one["name"] for one in pair.view()["families"]]
    shown_names = [text.rsplit(" (", 1)[0] for text in families.all_inner_texts()]
    whole = [name for name in shown_names if name in names]
    assert whole == sorted(whole, key=names.index)
    pair.shot("sets by family")


def test_a_square_in_no_set_is_dragged_into_one(sheet):  # noqa: F811 - the fixture
    view = sheet.view()
    held = sheet.sets()["sets"][0]["squares"][0]
    sheet.server.do(view, {"kind": "mark", "squares": [held], "mark": "held back", "on": True})
    pair = shown(sheet)
    spare = next(one["square"] for one in pair.sets()["unused"] if one["square"] != held)
    expect(pair.tab.locator(".tray")).to_contain_text("no square is left to go with it")
    out = pair.sets()["sets"][0]["squares"][1]
    pair.shot("a square in no set")
    pair.drag(piece(pair, spare), piece(pair, out))
    pair.said("took the place of")
    assert any(spare in one for one in together(pair))


def test_undo_and_redo_without_end(pair):
    start = together(pair)
    for number in (1, 2, 3):
        card(pair, number).get_by_role("button", name="Lock", exact=True).click()
        pair.said(f"Set {number} stays together")
    for _ in range(3):
        pair.press("Control+z")
    expect(pair.tab.locator("#undo")).to_be_disabled()
    assert together(pair) == start
    for _ in range(3):
        pair.press("Control+Shift+z")
    expect(pair.tab.locator("#redo")).to_be_disabled()
    assert len(pair.view()["locks"]) == 3


def test_everything_in_grey(pair):
    pair.press("v")
    expect(pair.button("Value view")).to_have_attribute("aria-pressed", "true")
    picture = pair.tab.locator(".piece img").first
    expect(picture).to_have_css("filter", 'url("#value")')
    picture.evaluate("async (one) => { await one.decode(); }")
    told = pair.view()["squares"]
    square = next(
        s
        for s in told
        if str(s["id"]) == pair.tab.locator(".piece").first.get_attribute("data-square")
    )
    pair.shot("in grey")
    grey = int(square["grey"][1:3], 16)
    assert seen_grey(pair, picture) == pytest.approx(grey, abs=12)
    pair.tab.reload()
    expect(pair.button("Value view")).to_have_attribute("aria-pressed", "true")


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
