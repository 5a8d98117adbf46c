"""The page of a phone on the table, and the table as its owner sees it, in a real browser."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest
from browser import faults, visited
from sorting_page import SHOTS, TOLD, opened, sheet  # noqa: F401 - fixtures
from table_device import DOOR, device, needs_loopback
from waiting import until

from cli.page.table.table_guard import ENTRANCE

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
SHUT = re.compile(r"status of (403|429) ")
"""What a browser writes to its console of a wrong code, and of a session that was ended."""
PARTS = ("Wall", "Sets", "Photos", "Lists", "Send")


COLOURS = """(canvas) => {
  const seen = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
  const found = new Set();
  for (let n = 0; n < seen.length; n += 4) found.add(`${seen[n]} ${seen[n + 1]} ${seen[n + 2]}`);
  return found.size;
}"""
"""How many colours a picture has: cloth has hundreds, plain faces a few."""


class Phone:
    """One tab of a phone."""

    def __init__(self, tab, page, shots):
        self.tab, self.page, self.shots = tab, page, shots

    def button(self, name):
        return self.tab.get_by_role("button", name=name, exact=True)

    def come_in(self):
        self.page.door.invite()
        self.tab.get_by_label("The six digits").fill(
            self.page.door.admission.invitations.standing[0].spoken
        )
        self.button("Come in").click()
        self.tab.locator(".sew-head h2").wait_for()

    def head(self):
        return self.tab.locator(".sew-head h2").inner_text()

    def shot(self, name):
        if self.shots is not None:
            self.shots.mkdir(parents=True, exist_ok=True)
            self.tab.screenshot(path=self.shots / f"{name}.png")


@pytest.fixture
def phone_page(page, chromium, quickly_hung):
    """A phone's tab at the second door; at the end nothing went wrong in it."""
    needs_loopback()
    page.door.open(DOOR, 0)
    shots = Path(os.environ[SHOTS]) if os.environ.get(SHOTS) else None
    with visited(chromium, page.door.origin, **PHONE) as (tab, seen):
        yield Phone(tab, page, shots)
        assert {one.split("/")[2] for one in seen.asked if one.startswith("http")} == {
            page.door.origin.split("/")[2]
        }
        assert [one for one in seen.said if not (TOLD.search(one) or SHUT.search(one))] == []


def sewn(page):
    """Places that are sewn, as the server has it."""
    number = page.bundle()["id"]
    plan = page.post(f"bundle/{number}/plan", {"pattern": None})
    return [block["place"] for block in plan["wall"]["blocks"] if block["done"]]


def test_a_phone_comes_in_sews_without_the_network_and_is_ended(phone_page):
    phone, page, tab = phone_page, phone_page.page, phone_page.tab
    field = tab.get_by_label("The six digits")
    expect(tab.locator(".caution")).to_contain_text("not encrypted")
    assert faults(tab) == []
    phone.shot("table-entrance")
    field.fill("12")
    phone.button("Come in").click()
    expect(tab.locator("#code-said")).to_contain_text("That code is not right")
    expect(phone.button("Come in")).to_be_enabled()
    phone.come_in()

    assert phone.head() == "A1"
    expect(phone.button("Back")).to_be_disabled()
    phone.button("Next").tap()
    assert phone.head() == "A2"
    swipe(tab, -200)
    assert phone.head() == "A3"
    swipe(tab, 200)
    assert phone.head() == "A2"
    expect(tab.locator(".pressing")).to_contain_text("row 1 right")
    expect(tab.locator(".pieces li")).to_have_count(2)
    for name in ("Back", "Tick as sewn", "Next"):
        box = phone.button(name).bounding_box()
        assert box["height"] >= 56
        assert box["y"] + box["height"] <= 844
    phone.shot("table-sew")

    expect(tab.locator(".line")).to_be_empty()  # all cloth is here
    tab.context.set_offline(True)
    box = phone.button("Tick as sewn").bounding_box()
    phone.button("Tick as sewn").click()
    expect(tab.locator(".line")).to_contain_text("1 tick waits")
    assert phone.button("✓ Sewn").bounding_box() == box
    assert faults(tab) == []
    phone.button("Next").click()
    phone.button("Next").click()
    ticked = ["A2", phone.head()]
    phone.button("Tick as sewn").click()
    expect(tab.locator(".line")).to_contain_text("2 ticks wait")
    assert tab.locator(".block-picture").evaluate(COLOURS) > 200
    for one in tab.locator(".pieces img").all():
        assert one.evaluate("(img) => img.complete && img.naturalWidth > 0")
    phone.shot("table-away")
    assert sewn(page) == []
    tab.context.set_offline(False)
    expect(tab.locator(".line")).to_be_empty()
    assert sewn(page) == ticked

    for part in PARTS:
        phone.button(part).click()
        tab.locator(f".part-{part.lower()} > *").first.wait_for()
        if part == "Sets":
            tab.locator(".set-list li").first.wait_for()
        phone.shot(f"table-{part.lower()}")
    send_a_photo(phone)

    phone.button("Lists").click()
    tab.get_by_label("A1", exact=False).first.check()
    until(lambda: sewn(page) == ["A1", *ticked])
    (device,) = page.get("table")["devices"]
    page.post(f"table/devices/{device['id']}/end", {})
    expect(field).to_be_visible()
    expect(tab.locator("#code-said")).to_contain_text("let in no longer")
    assert tab.locator("img").count() == 0


@pytest.mark.slow
def test_a_page_whose_rest_is_not_there_any_more_says_so(page, chromium):
    """As when the computer has another version by now, whose modules lie elsewhere."""
    needs_loopback()
    page.door.open(DOOR, 0)
    with visited(chromium, page.door.origin, **PHONE) as (tab, _):
        tab.route("**/table/room.js", lambda one: one.fulfill(status=404))
        page.door.invite()
        tab.get_by_label("The six digits").fill(page.door.admission.invitations.standing[0].spoken)
        tab.get_by_role("button", name="Come in").click()
        expect(tab.get_by_role("alert")).to_contain_text("Load it again")
        tab.unroute("**/table/room.js")
        tab.reload()
        tab.locator(".sew-head h2").wait_for()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [(390, 844), (844, 390), (1024, 768), (1280, 800)])
def test_axe_finds_no_fault_in_any_part(page, chromium, tmp_path, quickly_hung, scheme, size):
    needs_loopback()
    page.door.open(DOOR, 0)
    shots = Path(os.environ[SHOTS]) if os.environ.get(SHOTS) else None
    settings = {"viewport": dict(zip(("width", "height"), size, strict=True))}
    with visited(chromium, page.door.origin, color_scheme=scheme, **settings) as (tab, _):
        phone = Phone(tab, page, shots)
        assert faults(tab) == []
        phone.come_in()
        for part in ("Sew", *PARTS):
            phone.button(part).click()
            tab.locator(f".part-{part.lower()} > *").first.wait_for()
            if part == "Sets":
                tab.locator(".set-list li").first.wait_for()
            assert faults(tab) == [], part
            assert tab.evaluate("document.documentElement.scrollWidth") <= size[0]
            phone.shot(f"table-{part.lower()}-{scheme}-{size[0]}")


def swipe(tab, by):
    """Draw a finger across the block."""
    hand = tab.context.new_cdp_session(tab)
    finger = [{"x": 200, "y": 300}]
    hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": finger})
    for part in (0.3, 0.6, 1.0):
        finger = [{"x": 200 + part * by, "y": 300}]
        hand.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": finger})
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def send_a_photo(phone):
    """Send what is no photo straight from the camera; how it fares is told."""
    camera = phone.tab.get_by_label("Take a photo")
    assert camera.get_attribute("capture") == "environment"
    camera.set_input_files({"name": "cloth.jpg", "mimeType": "image/jpeg", "buffer": b"none"})
    line = phone.tab.locator(".jobs li")
    expect(line).to_contain_text("cloth.jpg")
    expect(line).to_contain_text("not a photo that can be read")


def test_what_is_shown_before_a_code_is_all_that_it_needs():
    """What the entrance's modules import is let through, and nothing that a bundle is behind."""
    static = Path(__file__).parents[1] / "cli" / "page" / "static"
    names = {name.removeprefix("/static/") for name in ENTRANCE if name.startswith("/static/")}
    assert {"table/main.js", "table/enter.js", "frame/dom.js"} <= names
    for name in sorted(names):
        path = static / name
        assert path.is_file(), name
        if path.suffix != ".js":
            continue
        for line in path.read_text("utf-8").splitlines():
            if line.startswith("import "):
                target = json.loads(line.split(" from ")[1].rstrip(";"))
                assert str((path.parent / target).resolve().relative_to(static)) in names, line


def test_the_owner_opens_the_table_sees_who_is_in_and_closes_it(sheet, monkeypatch):  # noqa: F811
    from ipaddress import ip_address

    from cli.page.table import private_addresses, table_door

    needs_loopback()
    own = [ip_address(one) for one in (DOOR, "10.254.253.252")]
    for module in (private_addresses, table_door):
        monkeypatch.setattr(module, "offered_addresses", lambda: own)
    monkeypatch.setattr(table_door, "PORT", 0)
    tab, page = sheet.tab, sheet.server
    sheet.button("More", exact=True).click()
    sheet.button("Phone or tablet").click()
    dialog = tab.get_by_role("dialog")
    expect(dialog).to_contain_text("not encrypted")
    expect(dialog.get_by_label("This computer's address")).to_have_value(DOOR)
    assert faults(tab) == []
    dialog.get_by_label("This computer's address").select_option("10.254.253.252")
    sheet.button("Open the table").click()
    expect(dialog.get_by_role("alert")).to_contain_text("can't be listened on")
    dialog.get_by_label("This computer's address").select_option(DOOR)
    sheet.button("Open the table").click()
    expect(dialog.get_by_role("img", name="QR code")).to_have_js_property("complete", True)
    expect(dialog.get_by_role("alert")).to_have_count(0)
    expect(dialog.locator(".code")).to_have_text(page.door.admission.invitations.standing[0].spoken)
    expect(dialog.locator(".code-left")).to_contain_text(":")
    expect(dialog).to_contain_text(page.door.origin)
    assert faults(tab) == []
    sheet.shot("table-owner")
    with device(page.door) as phone:
        token = page.door.entrance.partition("#")[2]
        assert phone.post("/api/enter", json={"token": token}).status_code == 200
        expect(dialog).to_contain_text("Phone at 127.1.")
        expect(dialog).to_contain_text("No code is good")
        sheet.shot("table-owner-who")
        dialog.get_by_role("button", name="End the phone").click()
        expect(dialog).to_contain_text("Nobody is on the table yet")
        assert phone.get("/api/start").status_code == 403
    sheet.button("Close the table").click()
    expect(sheet.button("Open the table")).to_be_visible()
    assert not page.door.is_open
