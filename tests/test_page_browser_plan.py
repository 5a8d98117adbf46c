"""Counting, the wall, files and the history, each task once by pointer and once by keyboard."""

import csv
import io
import re
import zipfile

import pytest
from sorting_page import opened, sheet  # noqa: F401 - fixtures

pytestmark = pytest.mark.usefixtures("quickly_hung")

api = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
expect = api.expect


@pytest.fixture
def plan(sheet):  # noqa: F811 - the fixture
    return counted(sheet.go("plan"))


@pytest.fixture
def wall(sheet):  # noqa: F811 - the fixture
    sheet.go("wall")
    sheet.tab.locator(".block").first.wait_for()
    return sheet


def counted(sheet):  # noqa: F811 - the fixture
    expect(sheet.tab.locator(".results")).to_have_attribute("aria-busy", "false")
    return sheet


def asked(sheet, **wish):  # noqa: F811 - the fixture
    return sheet.server.post(f"bundle/{sheet.view()['id']}/plan", wish)


def block(wall, place):
    return wall.tab.locator(f'.block[data-key="block-{place}"]')


def hung(wall):
    """The squares at each place, as the server hangs them."""
    return {one["place"]: one["squares"] for one in asked(wall, pattern=None)["wall"]["blocks"]}


def told(wall, squares):
    """What a block that holds squares is called, but for its place."""
    labels = {one["id"]: one["label"] for one in wall.view()["squares"]}
    return re.compile(": " + ", ".join(labels[number] for number in squares))


def test_a_pattern_is_chosen_and_what_is_short_is_told(plan):
    none = asked(plan, pattern=None)
    counted = sum(one["counts"] for one in none["sets"])
    expect(plan.tab.locator(".verdict")).to_have_text(f"{counted} sets match.")
    expect(plan.tab.locator(".results")).to_contain_text(none["lines"][0])
    plan.tab.get_by_role("combobox", name="Pattern").select_option("pinwheel")
    told = asked(plan, pattern="pinwheel")
    expect(plan.tab.locator(".verdict")).to_have_text(told["lines"][0])
    assert not told["enough"]
    line = next(one for one in told["tally"] if one["short"])
    row = plan.tab.get_by_role("row", name=line["need"]).first
    cells = [str(line[name]) for name in ("needed", "on_hand", "short")]
    assert row.locator("td").all_inner_texts()[:3] == cells
    expect(plan.tab.get_by_role("table", name="Buying")).to_contain_text(told["buy"][0]["words"])
    expect(plan.tab.get_by_role("table", name="Cutting")).to_contain_text(told["cut"][0]["how"])
    for caution in told["caution"]:
        expect(plan.tab.locator(".results")).to_contain_text(caution)
    plan.shot("count and plan")


def test_how_far_the_squares_go_comes_later_and_moves_nothing(plan):
    held = []
    plan.tab.route("**/api/bundle/*/reach", lambda one: held.append(one))  # noqa: PLW0108 - it marks what hears
    plan.tab.get_by_role("combobox", name="Pattern").select_option("pinwheel")
    plan.tab.get_by_role("spinbutton", name="Rows of blocks").fill("1")
    plan.tab.get_by_role("spinbutton", name="Columns").fill("2")
    plan.tab.get_by_role("spinbutton", name="Columns").press("Tab")
    expect(plan.tab.locator(".verdict")).to_have_text("Enough.")
    far = plan.tab.get_by_role("region", name="How far the squares go")
    expect(far).to_contain_text("Larger quilts are being counted")
    told = far.get_by_role("list")
    expect(told).to_have_attribute("aria-live", "polite")
    expect(told).to_have_attribute("aria-busy", "true")
    cutting = plan.tab.get_by_role("table", name="Cutting")
    stood = cutting.bounding_box()
    plan.shot("plan before how far the squares go")
    held[-1].continue_()
    expect(told).to_have_attribute("aria-busy", "false")
    asked = plan.server.post(
        f"bundle/{plan.view()['id']}/reach", {"pattern": "pinwheel", "rows": 1, "columns": 2}
    )
    assert far.get_by_role("listitem").all_inner_texts() == asked["lines"]
    assert cutting.bounding_box() == stood
    plan.shot("plan with how far the squares go")


def test_rows_columns_and_seam_are_given_by_key(plan):
    plan.tab.get_by_role("combobox", name="Pattern").focus()
    plan.press("ArrowDown", "ArrowDown")
    plan.tab.get_by_role("spinbutton", name="Rows of blocks").focus()
    plan.press("1", "Tab", "2")
    plan.tab.get_by_label("Your own seam").focus()
    plan.tab.keyboard.type("3/8")
    name = plan.tab.get_by_role("combobox", name="Pattern").input_value()
    told = asked(plan, pattern=name, rows=1, columns=2, seam="3/8")
    wanted = told["before_reach"][0].removesuffix("…")
    expect(plan.tab.locator(".results")).to_contain_text(wanted)
    plan.tab.get_by_label("Your own seam").fill("a thumb")
    expect(plan.tab.locator(".verdict")).to_contain_text("thumb")
    plan.tab.get_by_label("Your own seam").fill("")
    counted(plan).tab.reload()
    expect(plan.tab.get_by_role("spinbutton", name="Rows of blocks")).to_have_value("1")
    assert plan.tab.get_by_role("combobox", name="Pattern").input_value() == name


def test_a_pattern_file_is_opened(plan, tmp_path):
    from catalog.pattern.pattern_file import pattern_text

    path = tmp_path / "own.toml"
    path.write_text(pattern_text("hourglass").replace("Hourglasses", "Own"), encoding="utf-8")
    plan.tab.get_by_role("combobox", name="Pattern").select_option(label="A pattern file …")
    plan.tab.get_by_label("Open a pattern file").set_input_files(path)
    expect(plan.tab.get_by_role("row", name="hourglass, dark").first).to_be_visible()
    path.write_text("title = ", encoding="utf-8")
    plan.tab.get_by_label("Open a pattern file").set_input_files(path)
    expect(plan.tab.locator(".verdict")).to_contain_text("line 1")


def test_sets_are_put_aside_sewn_and_given_back(plan):
    first = plan.tab.locator(".pick-sets li").first
    first.locator("input").click()
    plan.tab.get_by_label("Project", exact=True).fill("porch quilt")
    plan.button("Put 1 set aside").click()
    plan.said("put aside for porch quilt")
    (project,) = plan.view()["projects"]
    assert project["name"] == "porch quilt"
    plan.tab.get_by_text("porch quilt: 1 set, 0 sewn").click()
    plan.shot("put aside")
    plan.tab.locator("details .check input").check()
    plan.said("sewn")
    assert plan.view()["projects"][0]["sets"][0]["stage"] == "sewn"
    plan.button("Give all of it back").click()
    plan.said("given back")
    assert all(one["state"] == "" for one in plan.view()["squares"])


def test_sets_are_put_aside_by_key(plan):
    plan.tab.locator(".pick-sets input").nth(2).focus()
    plan.press("Space")
    plan.tab.get_by_label("Project", exact=True).focus()
    plan.tab.keyboard.type("table runner")
    plan.press("Enter")
    plan.said("put aside for table runner")
    assert len(plan.view()["projects"][0]["sets"]) == 1


def test_a_block_is_dragged_to_another_place(wall):
    before = hung(wall)
    wall.drag(block(wall, "A1"), block(wall, "A3"))
    wall.said("A1 and A3 changed places")
    now = hung(wall)
    assert (now["A1"], now["A3"]) == (before["A3"], before["A1"])
    expect(wall.tab.locator(".ghost")).to_have_count(0)
    expect(block(wall, "A1")).to_have_attribute("aria-label", told(wall, before["A3"]))
    wall.shot("wall")


def test_a_block_is_carried_and_sewn_by_key(wall):
    before = hung(wall)
    block(wall, "A1").focus()
    wall.press("Enter", "ArrowRight")
    expect(block(wall, "A2")).to_be_focused()
    wall.press("Enter")
    wall.said("A1 and A2 changed places")
    assert hung(wall)["A1"] == before["A2"]
    expect(block(wall, "A1")).to_have_attribute("aria-label", told(wall, before["A2"]))
    block(wall, "A2").focus()
    wall.press("Space")
    wall.said("A2: sewn")
    expect(wall.tab.get_by_role("heading", name="Sewing: 1 of")).to_be_visible()
    expect(block(wall, "A2")).to_be_focused()


def test_ticks_stay(wall):
    wall.tab.get_by_label("B1, set").check()
    wall.said("B1: sewn")
    wall.tab.reload()
    expect(wall.tab.get_by_label("B1, set")).to_be_checked()
    wall.tab.get_by_label("Order of the wall").select_option("light-to-dark")
    expect(wall.tab.get_by_label("B1, set")).not_to_be_checked()
    wall.tab.get_by_label("Order of the wall").select_option("rainbow-diagonal")
    expect(wall.tab.get_by_label("B1, set")).to_be_checked()
    wall.tab.get_by_label("B1, set").focus()
    wall.press("Space")
    wall.said("B1: not sewn after all")


SEEN = """() => {
  const canvas = document.querySelector(".wall canvas");
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  const shown = new Set();
  for (let n = 0; n < data.length; n += 44) {
    if (data[n + 3]) shown.add(data.slice(n, n + 3).map((one) => one >> 3).join());
  }
  return shown.size;
}"""
"""How many colours the drawn quilt shows, told apart in steps of 8."""


def test_the_quilt_is_drawn_from_its_cloth(wall):
    wall.tab.wait_for_function(f"({SEEN})() > 100")  # prints, not plain colours
    before = wall.tab.evaluate("() => document.querySelector('.wall-hands').style.transform")
    wall.tab.locator(".wall").focus()
    wall.press("+", "+")
    changed = "(was) => document.querySelector('.wall-hands').style.transform !== was"
    wall.tab.wait_for_function(changed, arg=before)
    wall.press("0")
    wall.tab.wait_for_function(f"(was) => !({changed})(was)", arg=before)
    wall.button("Places").click()
    expect(wall.button("Places")).to_have_attribute("aria-pressed", "true")
    picture = wall.tab.get_by_role("link", name="Keep the picture")
    answer = wall.server.browser.get(picture.get_attribute("href"))
    assert answer.headers["content-type"] == "image/jpeg"


@pytest.mark.parametrize("way", ["pointer", "keyboard"])
def test_files_are_taken_along(sheet, way):  # noqa: F811 - the fixture
    sheet.go("take")
    sheet.shot("take along")

    def take(name):
        link = sheet.tab.get_by_role("link", name=f"Take {name}", exact=True)
        with sheet.tab.expect_download() as coming:
            if way == "pointer":
                link.click()
            else:
                link.focus()
                sheet.press("Enter")
        return coming.value

    sets = take("Sets")
    assert sets.suggested_filename == "blues - sets.csv"
    text = sets.path().read_text(encoding="utf-8")
    assert len(list(csv.DictReader(io.StringIO(text)))) == len(sheet.sets()["sets"])
    with zipfile.ZipFile(take("Everything").path()) as archive:
        assert {"report.html", "cards.pdf", "wall.jpg", "swatches.csv"} <= set(archive.namelist())


def test_anything_is_taken_back(sheet):  # noqa: F811 - the fixture
    square = sheet.square("R1C1")["id"]
    for text in ("first", "second"):
        deed = {"kind": "name", "squares": [square], "text": text}
        sheet.server.do(sheet.view(), deed)
    sheet.server.do(sheet.view(), {"kind": "mark", "squares": [square], "mark": "cut", "on": True})
    sheet.go("history")
    lines = sheet.tab.locator(".told li")
    expect(lines).to_have_count(3)
    for line, told in zip(lines.all(), sheet.view()["history"], strict=True):
        expect(line).to_contain_text(told["words"])
    lines.nth(1).get_by_role("button").click()
    sheet.said("Taken back")
    assert sheet.square("R1C1")["said"] == "first"
    expect(lines.nth(1)).to_contain_text("taken back")
    sheet.shot("history")
    lines.nth(1).get_by_role("button").focus()
    sheet.press("Enter")
    sheet.said("Done again")
    assert sheet.square("R1C1")["said"] == "second"
