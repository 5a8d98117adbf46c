"""Getting about on the page: opening it, adding photos, undo, two tabs, a server that is gone."""

import base64
import re

import pytest
from browser import faults, visited
from page_server import served
from sorting_page import STORE, TOLD, middle, opened, sheet  # noqa: F401 - fixtures
from waiting import until

from cli.page.routes import keeping_routes

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect

DROP = """(room, [name, type, text]) => {
  const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
  const data = new DataTransfer();
  data.items.add(new File([bytes], name, { type }));
  for (const kind of ["dragenter", "dragover", "drop"]) {
    const given = { dataTransfer: data, bubbles: true, cancelable: true };
    room.dispatchEvent(new DragEvent(kind, given));
  }
}"""
KEPT = """() => {
  const key = Object.keys(sessionStorage).find((one) => one.startsWith("look "));
  const { at } = JSON.parse(sessionStorage.getItem(key) ?? "{}");
  const now = new DOMMatrix(getComputedStyle(document.querySelector(".layer")).transform);
  return at && Math.max(Math.abs(at.x - now.e), Math.abs(at.y - now.f)) < 1;
}"""
"""Whether the page has noted where one looks."""
TOLD_OF = """(name) => new BroadcastChannel("calicount").postMessage({ topic: "job", told: {
  job: "of another day", state: "reading", words: "looking for squares", name, upload: "a part",
} })"""
"""As when the server is heard at a photo that it was sent before the page was loaded again."""
UPLOADS = re.compile(r"/api/uploads/.*offset=")
LEAVES = "() => dispatchEvent(new Event('beforeunload', { cancelable: true }))"
"""Whether the page lets a person leave without a word."""
UNASKED = """addEventListener("beforeunload", (one) => {
  if (one.isTrusted) one.stopImmediatePropagation();
});"""
PARTS = ["Photo", "Pair", "Plan", "Wall", "Take along"]


def drop(sheet, name, kind, content):  # noqa: F811 - the fixture
    given = [name, kind, base64.b64encode(content).decode()]
    sheet.tab.locator("main").evaluate(DROP, given)


def test_every_part_is_reached_by_its_link_and_by_its_address(sheet):  # noqa: F811
    sheet.tab.get_by_role("link", name="blues").click()
    parts = sheet.tab.get_by_role("navigation")
    photo = parts.get_by_role("link", name="Photo", exact=True)
    expect(photo).to_have_attribute("aria-current", "page")
    for part in [*PARTS[1:], PARTS[0], "Take along", "Wall"]:
        link = parts.get_by_role("link", name=part, exact=True)
        link.focus()
        sheet.press("Enter")
        expect(link).to_have_attribute("aria-current", "page")
        expect(sheet.tab.locator("#main")).to_be_focused()
    expect(sheet.tab).to_have_title(re.compile("^blues .* calicount$"))
    sheet.tab.go_back()
    taken = parts.get_by_role("link", name="Take along", exact=True)
    expect(taken).to_have_attribute("aria-current", "page")
    assert sheet.tab.url.endswith("/take")
    assert "key=" not in sheet.tab.url


def test_the_page_is_asked_for_in_few_requests_and_no_more_once_it_is_known(page, chromium):
    sent = """() => performance.getEntriesByType("resource")
      .filter((one) => one.name.includes("/static/")).map((one) => one.transferSize)"""
    with visited(chromium, page.opening) as (tab, seen):
        for known in (False, True):
            tab.locator("main .bundle-list").wait_for()
            assert sum(one.endswith("/api/start") for one in seen.asked) == 1 + known
            sizes = tab.evaluate(sent)
            assert 2 <= len(sizes) <= 3
            assert [size == 0 for size in sizes] == [known] * len(sizes)
            tab.reload()


def test_a_photo_that_is_dropped_makes_a_bundle(sheet, small_photo):  # noqa: F811
    drop(sheet, "bundle.jpg", "image/jpeg", small_photo.read_bytes())
    sheet.tab.get_by_label("Name of the bundle").fill("from the <market>")
    sheet.button("Add it").click()
    sheet.shot("a photo is read")
    sheet.tab.locator("main.part-photo").wait_for()
    expect(sheet.tab.locator("h1")).to_have_text("from the <market>")
    assert len(sheet.view("from the <market>")["squares"]) == 24


def test_a_pattern_is_pasted_and_read(sheet):  # noqa: F811
    sheet.tab.get_by_role("link", name="Patterns").click()
    sheet.tab.get_by_label("Cutting instructions").fill(
        'Red, 1/2 yard\nCut 4 strips 2 1/2" x WOF; subcut into 70 squares 2 1/2".\n'
        "Cut 12 squares from the cream."
    )
    sheet.tab.get_by_role("button", name="Read them").click()
    cut = sheet.tab.get_by_role("region", name="What is cut")
    expect(cut).to_contain_text("70 squares 2 1/2 in, from 4 strips 2 1/2 in wide")
    expect(cut).to_contain_text('70 squares 2 1/2"')
    expect(sheet.tab.get_by_role("region", name="What to buy")).to_contain_text("1/2 yd")
    again = sheet.tab.get_by_role("region", name="Look at these again")
    expect(again).to_contain_text("give 64, 70 are said")
    unread = sheet.tab.get_by_role("region", name="Not understood")
    expect(unread).to_contain_text("Cut 12 squares from the cream")


def test_a_photo_that_cannot_be_read_is_told_in_words(sheet):  # noqa: F811
    photo = {"name": "letter.jpg", "mimeType": "image/jpeg", "buffer": b"no picture at all"}
    sheet.tab.get_by_label("Add photos", exact=True).set_input_files(photo)
    expect(sheet.tab.get_by_label("Name of the bundle")).to_have_value("letter")
    sheet.button("Add it").click()
    line = sheet.tab.locator(".jobs li.failed")
    expect(line).to_contain_text("letter.jpg")
    expect(line).to_contain_text("; ")
    sheet.shot("a photo that can't be read")
    assert "letter" not in [one["name"] for one in sheet.server.get("start")["bundles"]]


def test_photos_on_their_way_outlive_a_reload(sheet, two_photos):  # noqa: F811
    """Those that the server has, and those that it hasn't: none is lost, none is added twice."""
    held = []
    sheet.tab.add_init_script(UNASKED)
    sheet.tab.reload()
    sheet.tab.route(UPLOADS, lambda one: held.append(one))  # noqa: PLW0108 - Playwright marks it
    sheet.tab.get_by_label("Add photos", exact=True).set_input_files(two_photos)
    sheet.tab.get_by_label("Name of the bundle").fill("square")
    sheet.button("Add them").click()
    line = sheet.tab.locator("#line")
    expect(line).to_have_text("0 of 2 photos")
    assert sheet.tab.evaluate(LEAVES) is False
    sheet.tab.reload()
    expect(line).to_have_text("0 of 2 photos")
    jobs = sheet.tab.locator(".jobs li")
    expect(jobs).to_have_count(2)
    sheet.tab.evaluate(TOLD_OF, jobs.first.locator("strong").inner_text())
    expect(jobs.first).to_contain_text("looking for squares")
    expect(jobs).to_have_count(2)
    sheet.shot("photos on their way")
    sheet.tab.unroute(UPLOADS)
    sheet.tab.reload()
    sheet.said("2 of 2 photos are read into square")
    expect(line).to_be_empty()
    assert sheet.tab.evaluate(LEAVES) is True
    assert len(sheet.view("square")["squares"]) == 50
    sheet.tab.reload()
    sheet.tab.locator(".bundle-list a", has_text="50 squares").wait_for()
    expect(sheet.tab.locator(".jobs li")).to_have_count(0)


def test_photos_are_added_to_a_bundle_that_is_kept(sheet, small_photo):  # noqa: F811
    sheet.button("More of blues").click()
    sheet.tab.get_by_label("Add photos to blues").set_input_files(small_photo)
    sheet.tab.locator("main.part-photo").wait_for()
    expect(sheet.tab.locator("h1")).to_have_text("blues")
    assert len(sheet.server.get("start")["bundles"]) == 2


def test_another_size_of_squares_is_refused_at_once(sheet):  # noqa: F811
    drop(sheet, "bundle.jpg", "image/jpeg", b"never read")
    sheet.tab.get_by_label("Side of the squares").fill("a hand")
    sheet.button("Add it").click()
    dialog = sheet.tab.get_by_role("dialog")
    expect(dialog.get_by_role("alert")).to_contain_text("a hand")
    dialog.get_by_role("button", name="Not now").click()
    expect(dialog).to_be_hidden()


def test_a_bundle_is_renamed_and_removed(sheet):  # noqa: F811
    sheet.button("More of both halves").click()
    sheet.button("Give another name").click()
    dialog = sheet.tab.get_by_role("dialog")
    dialog.get_by_label("New name").fill("second try")
    dialog.get_by_role("button", name="Rename").click()
    sheet.said("both halves is now second try")
    more = sheet.button("More of second try")
    more.focus()
    sheet.press("Enter")
    removes = sheet.button("Remove for good")
    expect(removes).to_be_visible()
    sheet.tab.evaluate(f"{STORE}.then((store) => store.begin())")
    removes.click()  # the menu stays open where the list is told anew and nothing of it has changed
    dialog.get_by_label("type its name").fill("second")
    dialog.get_by_role("button", name="Remove for good").click()
    expect(dialog.get_by_role("alert")).to_contain_text("still there")
    dialog.get_by_label("type its name").fill("second try")
    dialog.get_by_role("button", name="Remove for good").click()
    sheet.said("second try is removed")
    expect(sheet.tab.locator(".bundle-list li")).to_have_count(1)


def test_an_empty_page_says_how_to_begin(chromium, tmp_path, small_photo, monkeypatch):
    monkeypatch.setattr(keeping_routes, "sample_photo", small_photo.read_bytes)
    with (
        served(tmp_path / "new.catalogue") as page,
        visited(chromium, page.opening, viewport={"width": 1280, "height": 800}) as (tab, seen),
    ):
        welcome = tab.get_by_role("region", name="Photograph your squares")
        expect(welcome.get_by_role("img", name=re.compile("^Squares in rows"))).to_be_visible()
        assert faults(tab) == []
        welcome.get_by_role("button", name="Try the sample").click()
        tab.locator("main.part-photo").wait_for()
        expect(tab.locator("h1")).to_have_text(keeping_routes.SAMPLE_BUNDLE)
        assert [one for one in seen.said if not TOLD.search(one)] == []


def test_colours_are_looked_for_and_all_is_checked(sheet):  # noqa: F811
    sheet.tab.get_by_role("link", name="Search").click()
    sheet.tab.get_by_label("A colour in words").fill("teal")
    found = sheet.tab.locator(".found li")
    expect(found.first).to_be_visible()
    sheet.shot("search")
    found.first.get_by_role("button", name=re.compile("^Partners of")).click()
    expect(sheet.tab.get_by_text(re.compile("^Best partners of"))).to_be_visible()
    sheet.tab.go_back()
    sheet.button("Check that all is well").click()
    expect(sheet.tab.get_by_role("dialog")).to_contain_text("All is well")


def test_a_second_tab_follows_the_first_and_keeps_what_is_being_typed(opened):  # noqa: F811
    one, two = opened(), opened(viewport={"width": 1280, "height": 400})
    for tab in (one, two):
        tab.go("photo")
        tab.press("j")
        expect(tab.tab.locator(".panel h2")).to_be_visible()
    two.tab.get_by_text("Name, place, fabric, light").click()
    two.tab.get_by_label("Your name for it").fill("half a na")
    assert two.tab.evaluate("scrollY") > 0
    before = middle(two.tab.get_by_label("Your name for it"))
    one.button("Hold back").click()
    one.said("held back")
    expect(two.button("Hold back")).to_have_attribute("aria-pressed", "true")
    two.tab.keyboard.type("me")
    expect(two.tab.get_by_label("Your name for it")).to_have_value("half a name")
    assert middle(two.tab.get_by_label("Your name for it")) == pytest.approx(before, abs=2)
    two.press("Enter")
    two.said("is called half a name")
    expect(one.tab.locator(".panel h2")).to_contain_text("half a name")
    for tab in (one, two):
        expect(tab.tab.locator("#banner")).to_be_hidden()


def test_what_is_done_while_the_server_is_away_is_kept_and_sent(sheet, browser_offline):  # noqa: F811
    sheet.go("photo")
    sheet.press("j")
    title = sheet.tab.locator(".panel h2").inner_text()
    browser_offline(True)
    sheet.button("Hold back").click()
    line = sheet.tab.locator("#away")
    expect(line).to_contain_text("doesn't answer")
    sheet.button("Damaged").click()
    expect(line).to_contain_text("2 things that you did since are kept")
    sheet.shot("away")
    browser_offline(False)
    sheet.said("damaged")
    expect(line).to_be_hidden()
    assert sorted(sheet.square(title)["marks"]) == ["damaged", "held back"]


def test_what_waited_is_told_where_it_came_too_late(sheet, browser_offline):  # noqa: F811
    sheet.go("photo")
    sheet.press("j")
    browser_offline(True)
    for words in ("Hold back", "Damaged"):
        sheet.button(words).click()
    expect(sheet.tab.locator("#away")).to_contain_text("2 things")
    view = sheet.view()
    sheet.server.do(view, {"kind": "white", "square": view["squares"][0]["id"]})
    browser_offline(False)
    banner = sheet.tab.locator("#banner")
    expect(banner).to_contain_text("has been changed elsewhere")
    expect(banner).to_contain_text("Not done:")
    expect(banner).to_contain_text("held back")
    expect(banner).to_contain_text("shown as it is now")
    expect(sheet.button("Undo")).to_have_attribute("title", re.compile("white"))
    assert [one for one in sheet.view()["squares"] if one["marks"]] == []


@pytest.fixture
def browser_offline(sheet):  # noqa: F811 - the fixture
    """Take the line from the browser to the server, and give it back."""
    return sheet.tab.context.set_offline


def test_a_reload_loses_nothing(sheet):  # noqa: F811
    sheet.go("photo")
    sheet.press("j")
    sheet.button("Hold back").click()
    sheet.said("held back")
    title = sheet.tab.locator(".panel h2").inner_text()
    square = sheet.square(title)
    sheet.tab.wait_for_function(KEPT)
    before = sheet.middle_of(square)
    sheet.tab.reload()
    expect(sheet.tab.locator(".panel h2")).to_have_text(title)
    expect(sheet.button("Hold back")).to_have_attribute("aria-pressed", "true")
    until(lambda: sheet.middle_of(square) == pytest.approx(before, abs=1))
    expect(sheet.button("Undo")).to_be_enabled()


def test_a_change_that_is_under_way_at_a_reload_is_there_after_it(sheet):  # noqa: F811
    sheet.go("pair")
    first = sheet.sets()["sets"][0]["squares"]
    sheet.tab.locator(f'.tile[data-square="{first[0]}"]').click()
    sheet.button("Lock", exact=True).click()

    def as_the_server_has_it():
        sheet.tab.reload()
        expect(sheet.tab.locator(".board .set").first).to_be_visible()
        return sheet.tab.locator(".board .set.locked").count() == len(sheet.view()["locks"])

    until(as_the_server_has_it)
    assert sheet.view()["locks"] in ([], [sorted(first)], [first])


def test_the_help_lists_the_keys_and_closes(sheet):  # noqa: F811
    sheet.press("?")
    help_ = sheet.tab.get_by_role("dialog")
    expect(help_).to_contain_text("draw a square that was missed")
    sheet.shot("help")
    sheet.press("Escape")
    expect(help_).to_be_hidden()
    sheet.button("More", exact=True).click()
    expect(sheet.tab.locator("#more .narrow-only:visible")).to_have_count(0)
    sheet.button("How it works").click()
    help_.get_by_role("button", name="Close").click()
    expect(help_).to_be_hidden()


def test_the_way_past_the_head(sheet):  # noqa: F811
    sheet.tab.locator("body").focus()
    sheet.press("Tab")
    expect(sheet.tab.locator("#skip")).to_be_focused()
    sheet.press("Enter")
    expect(sheet.tab.locator("#main")).to_be_focused()


def test_a_bundle_that_is_not_there_leads_to_the_list(sheet):  # noqa: F811
    sheet.tab.goto(f"{sheet.server.origin}/#bundle/999/pair")
    expect(sheet.tab.locator("#banner")).to_contain_text("has been removed")
    expect(sheet.tab.locator(".bundle-list")).to_be_visible()
