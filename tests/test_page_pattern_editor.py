"""The pattern editor by key, finger and form: nothing typed is lost, faults are mended there."""

import re

import cv2
import pytest
from block_drawings_made import STYLES, made_drawing
from browser import faults
from sorting_page import opened  # noqa: F401 - a fixture

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect
pytestmark = pytest.mark.slow


@pytest.fixture
def editor(opened):  # noqa: F811 - the fixture
    return opening(opened())


def opening(sheet, key="new"):
    sheet.tab.goto(f"{sheet.server.origin}/#patterns/{key}/{sheet.view()['id']}")
    sheet.tab.locator(".quilt-drawing").wait_for()
    return sheet


def messages(sheet):
    return sheet.tab.locator(".message")


def field(sheet, label):
    return sheet.tab.get_by_label(label, exact=True).first


def test_what_is_typed_stays_and_what_is_wrong_is_mended_at_its_field(editor):
    editor.button("Add sashing").click()
    field(editor, "Width, finished").fill("2 1/2")
    editor.button("Add a border").click()  # without leaving the field before
    expect(field(editor, "Border 1, width finished")).to_have_value("2")
    expect(field(editor, "Width, finished")).to_have_value("2 1/2")
    field(editor, "Posts where strips meet").select_option(label="from squares left over")
    expect(editor.tab.locator(".cloth-form[aria-label='post']")).to_be_visible()
    expect(field(editor, "Pieces in all")).to_have_value("6")
    field(editor, "Border 1, width finished").fill("90")
    field(editor, "Title").focus()
    expect(messages(editor)).to_contain_text(['"90" is not from 1/4 to 60 in.'])
    expect(field(editor, "Border 1, width finished")).to_have_attribute("aria-invalid", "true")
    expect(editor.button("Is blues enough?")).to_be_disabled()
    editor.button("Use 60").click()
    expect(field(editor, "Border 1, width finished")).to_have_value("60")
    field(editor, "Block, finished").fill("9")
    field(editor, "Title").focus()
    expect(editor.tab.locator(".old-new")).to_contain_text("cut: feature")
    field(editor, "Set").select_option("on point")
    expect(editor.tab.locator(".quilt-size")).to_contain_text("18 blocks")
    editor.shot("pattern on point")
    assert faults(editor.tab) == []


def test_a_block_is_drawn_by_key_kept_and_taken_back(editor):
    tab, stage = editor.tab, editor.tab.locator(".block-stage")
    editor.button("half square triangle", exact=True).click()
    stage.focus()
    editor.press("ArrowRight", "Enter", "r", "ArrowDown", "m")
    expect(stage).to_have_attribute("aria-label", "Row 2, column 2: square, feature")
    editor.press("ArrowUp")
    words = "Row 1, column 2: half square triangle, feature and ground, turned 90 degrees"
    expect(stage).to_have_attribute("aria-label", words)
    field(editor, "Copy what I do").select_option("half")
    editor.press("Tab")
    field(editor, "Upper left half").select_option(label="ground")
    stage.focus()
    editor.press("ArrowDown", "ArrowDown")
    expect(stage).to_have_attribute(
        "aria-label", words.replace("1", "3", 1).replace("feature and ", "").replace("90", "270")
    )
    field(editor, "Name of the pattern").fill("Porch")
    editor.button("Keep", exact=True).click()
    editor.said("Porch is kept")
    assert [
        one["name"] for one in editor.server.get("patterns")["patterns"] if not one["shipped"]
    ] == ["Porch"]
    editor.button("Undo in the pattern").click()
    editor.press("ArrowUp", "ArrowUp")
    tab.reload()
    tab.locator(".quilt-drawing").wait_for()
    expect(field(editor, "Name of the pattern")).to_have_value("Porch")
    tab.goto(f"{editor.server.origin}/#patterns")
    expect(tab.locator(".pattern-list")).to_contain_text("Porch")
    assert faults(tab) == []


@pytest.mark.parametrize("size", [(390, 844), (1024, 768)])
def test_it_is_drawn_by_finger_in_light_and_dark(opened, size):  # noqa: F811 - the fixture
    wide, high = size
    sheet = opening(
        opened(viewport={"width": wide, "height": high}, has_touch=True, color_scheme="dark")
    )
    tab = sheet.tab
    tab.get_by_role("button", name="quarter square triangle", exact=True).tap()
    area = tab.locator(".block-drawing").bounding_box()
    tab.touchscreen.tap(area["x"] + area["width"] / 2, area["y"] + area["height"] / 2)
    expect(tab.get_by_role("heading", name="Quarter square triangle")).to_be_visible()
    sheet.button("Start from …").tap()
    tab.locator(".known-block").nth(3).tap()
    expect(tab.locator(".numbers")).to_contain_text("square")
    assert tab.evaluate("document.documentElement.scrollWidth <= innerWidth")
    sheet.shot(f"pattern by finger {wide}")
    assert faults(tab) == []


def test_a_block_is_laid_from_a_picture_of_it(editor, tmp_path):
    made = made_drawing(next(one for one in STYLES if one.name == "photographed colours"), 3)
    cv2.imwrite(str(tmp_path / "page.png"), made.picture[..., ::-1])
    cv2.imwrite(str(tmp_path / "blank.png"), made.picture[:90, :90])
    editor.button("Start from …").click()
    dialog = editor.tab.get_by_role("dialog")
    field(editor, "From a picture").set_input_files(tmp_path / "blank.png")
    expect(dialog.get_by_role("status")).to_contain_text("No drawing of a block is seen")
    field(editor, "From a picture").set_input_files(tmp_path / "page.png")
    shown = dialog.get_by_role("img", name="What was read: 2 by 2 cells")
    expect(shown).to_be_visible()
    expect(dialog).to_contain_text("The lightest colour is taken for the background.")
    editor.shot("pattern from a picture")
    assert faults(editor.tab) == []
    dialog.get_by_role("button", name="Lay it").click()
    editor.said("The drawing is laid")
    stage = editor.tab.locator(".block-stage")
    stage.focus()
    editor.press("ArrowRight", "ArrowLeft")
    expect(stage).to_have_attribute("aria-label", re.compile("^Row 1, column 1: quarter square"))


@pytest.mark.parametrize("name", ["example", "four-patch", "hourglass"])
def test_every_shipped_pattern_opens_and_nothing_in_it_changes(opened, name):  # noqa: F811
    from catalog.pattern.pattern_file import pattern_text
    from catalog.pattern.patterns import read_pattern

    editor = opening(opened(), name)
    expect(editor.tab.locator(".message.flag")).to_have_count(0)
    field(editor, "Name of the pattern").fill("as it is")  # what is only looked at isn't laid aside
    kept = editor.tab.evaluate("() => JSON.parse(localStorage.getItem('pattern draft')).data")
    told = editor.server.post("patterns/check", {"data": kept})
    assert read_pattern(told["text"], name).quilt == read_pattern(pattern_text(name), name).quilt


def test_what_was_done_to_a_kept_pattern_is_taken_back_and_bundles_are_tried(opened):  # noqa: F811
    editor = opening(opened(), "pinwheel")
    field(editor, "Name of the pattern").fill("Wheels")
    editor.button("Keep", exact=True).click()
    editor.said("Wheels is kept")
    field(editor, "Rows of blocks").fill("2")
    field(editor, "Title").focus()
    expect(editor.tab.locator(".quilt-size")).to_contain_text("8 blocks")
    editor.button("Keep", exact=True).click()
    editor.said("Wheels is kept")
    editor.tab.reload()
    expect(field(editor, "Rows of blocks")).to_have_value("2")
    editor.button("What was done").click()
    editor.button("Undo the last").click()
    expect(editor.tab.get_by_role("dialog")).to_contain_text("taken back")
    editor.tab.get_by_role("dialog").get_by_role("button", name="Close").click()
    expect(field(editor, "Rows of blocks")).to_have_value("5")
    editor.tab.goto(f"{editor.server.origin}/#patterns")
    editor.button("Which bundle makes Pinwheels?").first.click()
    expect(editor.tab.get_by_role("dialog")).to_contain_text("of wheel")
    editor.tab.get_by_role("dialog").get_by_role("link", name="blues").click()
    expect(editor.tab.locator(".verdict")).to_have_text("Not enough.")
    told = editor.server.get(f"bundle/{editor.view()['id']}/fits")["fits"]
    editor.button("What blues could make").click()
    expect(editor.tab.get_by_role("dialog").locator("li")).to_have_count(len(told))


def test_back_from_the_plan_comes_to_the_drawing_as_it_was_left(editor):
    tab, stage = editor.tab, editor.tab.locator(".block-stage")
    field(editor, "Name of the pattern").fill("Porch")
    editor.button("Keep", exact=True).click()
    editor.said("Porch is kept")
    field(editor, "Copy what I do").select_option("half")
    editor.button("half square triangle", exact=True).click()
    stage.focus()
    editor.press("ArrowRight", "Enter")
    drawn = re.compile("^Row 1, column 2: half square triangle")
    expect(stage).to_have_attribute("aria-label", drawn)
    editor.button("Is blues enough?").click()
    choice = tab.get_by_label("Pattern", exact=True)
    expect(choice.locator("option:checked")).to_have_text("Porch, not kept yet")
    expect(tab.get_by_label("Open a pattern file")).to_have_count(0)
    tab.go_back()
    tab.locator(".quilt-drawing").wait_for()
    expect(field(editor, "Name of the pattern")).to_have_value("Porch")
    expect(editor.button("Undo in the pattern")).to_be_enabled()
    stage.focus()
    editor.press("ArrowLeft", "ArrowRight")
    expect(stage).to_have_attribute("aria-label", drawn)
    other = tab.context.new_page()
    other.goto(f"{editor.server.origin}/#bundle/{editor.view()['id']}/plan")
    chosen = other.get_by_label("Pattern", exact=True).locator("option:checked")
    expect(chosen).to_have_text("Porch, not kept yet")
    editor.button("Keep", exact=True).click()
    editor.said("Porch is kept")
    assert (
        len([one for one in editor.server.get("patterns")["patterns"] if not one["shipped"]]) == 1
    )
    editor.button("Is blues enough?").click()
    expect(choice.locator("option:checked")).to_have_text("Porch (yours)")
    expect(chosen).to_have_text("Porch (yours)")


def test_a_drawing_that_was_not_kept_is_said_to_be_gone(opened):  # noqa: F811 - the fixture
    sheet = opened()
    sheet.tab.goto(f"{sheet.server.origin}/#patterns/draft/1")
    expect(sheet.tab.get_by_role("status").filter(has_text="was not kept")).to_be_visible()
    sheet.tab.get_by_role("link", name="All patterns").click()
    shown = sheet.tab.locator(".pattern-list .quilt-drawing")
    expect(shown.first.locator("use").first).to_be_attached()  # in place of an icon
    expect(sheet.tab.locator(".pattern-list")).to_contain_text("Hourglass")
