import base64
import hashlib
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import numpy as np
import paper
import pytest
from browser import faults, visited
from PIL import Image
from sheets_made import HOSTILE, made, photo_of, swatch

from catalog.colour.lab import srgb8_to_lab
from catalog.lengths import centimetres_shown
from catalog.models import NOT_COUNTED, Photo, SquareSet
from catalog.report.pages.html_report import html_report
from catalog.report.pages.html_views import FLAG_WORDS, difference_words, step_words, turn_words

MOST = 3_000_000
"""Bytes that the report of 100 squares may take up."""
VOID = {"area", "base", "br", "col", "hr", "image", "img", "input", "link", "meta", "source"}
VOID |= {"circle", "feColorMatrix".lower(), "polygon", "rect", "use"}


class Reader(HTMLParser):
    """Elements with their attributes, text, and whether all that was opened is closed."""

    def __init__(self, page):
        super().__init__()
        self.elements, self.text, self.ids, self.open = [], [], [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        self.ids += [value for name, value in attrs if name == "id"]

    def handle_endtag(self, tag):
        assert self.open
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)

    def all(self, tag):
        return [attrs for name, attrs in self.elements if name == tag]


def words(page):
    """The page's visible text, blanks run together."""
    page = re.sub("(?=<(?!/?(?:b|bdi|strong)[ >]))", " ", page)
    text = "".join(Reader(re.sub("<style>.*?</style>", "", page, flags=re.DOTALL)).text)
    return " ".join(text.split())


@pytest.fixture(scope="module")
def page():
    return html_report(made())


# ---------------------------------------------------------------- what it says


def test_it_is_well_formed_and_ids_are_unique(page):
    reader = Reader(page)
    assert reader.open == []
    assert len(reader.ids) == len(set(reader.ids))
    shown = {attrs["href"][1:] for attrs in reader.all("use")}
    assert shown <= set(reader.ids)
    links = {attrs["href"][1:] for attrs in reader.all("a")}
    assert links <= set(reader.ids)


def test_everything_that_was_asked_for_is_on_it(page):
    text = words(page)
    for told in (
        "Bundle from the market",
        "3 May 2026 · 12 squares of 7 fabrics by their looks · 4 colour families · 5 sets",
        "Evening stars: not enough.",
        "star points: 1 set short; no reds are left.",
        "Colours are judged by the grey ground.",
        "A light background shows these squares best.",
        "table.jpg in colour",
        "table.jpg in grey",
        "Reds 3 squares, dark to light",
        "R3C4 dark, reads busy moderate something large stripe, repeats every 1 1/4 in, runs one "
        "way held back",
        "Set 1 on the wall at A1",
        "A small step (3.4)",
        "Far apart differ by more than you allow",
        "not enough: 1 set short",
        "to be bought: fabric",
        "1,200",
        "4 1/2 in",
        "Close the guard after every cut.",
        "doesn't fit: 1/4 in too small",
        "2 1/2 in x 4 in",
        "sky 1 yd 2 1/2 in 2 strips",
        "R1C1 the darker: upper left and lower right",
        "R1C3 the darker: upper left and lower right, its print upright",
        "a quarter turn to the right",
        "no set for this place",
        "1 square that nothing uses, in rainbow order. R3C3 dark",
        "Set aside 1 square that no set may use R3C4 dark, reads busy moderate something",
    ):
        assert told in text


def test_cautions_stand_but_once(page):
    assert page.count("Close the guard") == 1


def test_each_picture_is_in_it_but_once(page):
    pictures = re.findall(r"data:image/jpeg;base64,[^\"]+", page)
    assert len(pictures) == 12 + 1 + 1
    assert len(set(pictures)) == len(pictures)
    assert Reader(page).all("use")


def test_families_follow_the_order_given_and_run_from_dark_to_light(page):
    text = words(page).split("Colours, in rainbow order")[1].split("Sets, dark to light")[0]
    assert re.findall(r"(\w+) 3 squares, dark to light", text) == [
        *("Reds", "Yellows", "Greens", "Blues")
    ]
    lightness = {one.label: one.lab[0] for one in made().swatches}
    reds = re.findall(r"R\dC\d", text.split("Yellows")[0])
    assert reds == sorted(reds, key=lightness.get)


def test_every_table_has_a_caption_and_heads_with_a_scope(page):
    reader = Reader(page)
    assert len(reader.all("table")) == len(reader.all("caption")) == 5
    assert all(attrs.get("scope") in {"row", "col"} for attrs in reader.all("th"))


def test_every_box_to_tick_says_what_for(page):
    labels = [one["aria-label"] for one in Reader(page).all("input") if one["type"] == "checkbox"]
    assert "A1 is sewn" in labels
    assert "star is cut" in labels
    assert "sky is bought" in labels
    assert len(labels) == len(set(labels)) == 6 + 2 + 1


def test_headings_step_down_by_one(page):
    levels = [int(tag[1]) for tag, _ in Reader(page).elements if re.fullmatch("h[1-6]", tag)]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_marks_and_doubts_are_words(page):
    doubted = made()
    first = doubted.swatches[0]
    odd = replace(first, flags=("partly covered",), role="background")
    text = words(html_report(replace(doubted, swatches=(odd, *doubted.swatches[1:]))))
    assert "R1C1 dark moderate something background look again: partly covered" in text
    assert "Look again at 1 square" in text
    assert f"Partly covered {FLAG_WORDS['partly covered']}" in text
    assert "R1C1 ?" in text
    assert "No square is in doubt." in words(page)


def test_a_bundle_without_pattern_plan_or_sets_has_a_page():
    bare = made(
        sets=(), tally=None, rows=(), cuts=(), buys=(), cautions=(), wall=None, wall_jpeg=None
    )
    page = html_report(replace(bare, marks={}, sure=(), advice=()))
    reader = Reader(page)
    assert not {"sets", "tally", "cutting", "wall"} & set(reader.ids)
    assert "12 squares that nothing uses" in words(page)
    assert {attrs["href"][1:] for attrs in reader.all("a")} <= set(reader.ids)


def test_nothing_left_over_is_said():
    sheets = made()
    sheets = replace(sheets, tally=replace(sheets.tally, unused=()))
    assert "Nothing: every square is used or set aside." in words(html_report(sheets))


def test_a_set_that_does_not_serve_the_pattern_says_so():
    sheets = made()
    first, *others = sheets.sets
    loose = [replace(one, flags=(*one.flags, NOT_COUNTED)) for one in others]
    text = words(html_report(replace(sheets, sets=(first, *loose))))
    assert text.count("not counted") + text.count("Not counted") >= len(loose)
    assert "too far apart to be a match" in text
    assert "too far apart to be a match" not in words(html_report(sheets))
    assert f"({others[0].number})" in text


def test_lengths_are_in_centimetres_where_those_are_shown():
    with centimetres_shown():
        text = words(html_report(made()))
    assert "11.43 cm" in text
    assert "in centimetres" in text


def test_set_words():
    one = SquareSet(1, ("a", "b"), 3.44, 12.6, "", False)
    assert difference_words(one) == "a small step (3.4)"
    assert difference_words(replace(one, difference=float("nan"))) == "their difference isn't known"
    assert step_words(12.6) == "from dark to light by 13 of 100"
    assert step_words(0.4) == "of one value"
    assert step_words(float("nan")) == ""
    assert [turn_words(turn) for turn in (0, 180, 45)] == [
        *("as it is", "half a turn", "45 degrees to the right")
    ]


# ---------------------------------------------------------------- what it is made of


def test_its_policy_lets_in_its_own_style_and_pictures_alone(page):
    (policy,) = [
        one["content"]
        for one in Reader(page).all("meta")
        if one.get("http-equiv") == "Content-Security-Policy"
    ]
    style = re.search("<style>(.*?)</style>", page, re.DOTALL)[1]
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    told = dict(one.split(" ", 1) for one in policy.split("; "))
    assert told == {
        "default-src": "'none'",
        "img-src": "data:",
        "style-src": f"'sha256-{digest}'",
        "base-uri": "'none'",
        "form-action": "'none'",
    }


def test_there_is_nothing_that_runs_or_fetches(page):
    reader = Reader(page)
    tags = {tag for tag, _ in reader.elements}
    assert not tags & {"script", "iframe", "object", "embed", "form", "base"}
    for _, attrs in reader.elements:
        assert "style" not in attrs
        assert not [name for name in attrs if name.startswith("on")]
        for name in {"src", "href"} & attrs.keys():
            assert re.match("data:|#", attrs[name])
    assert "url(#grey)" in page
    assert not re.search(r"url\((?!#)|@import", page)


def hostile():
    """A bundle with such a name wherever a name can stand."""
    sheets = made()
    first = replace(sheets.swatches[0], colour_name=HOSTILE, family=HOSTILE, flags=(HOSTILE,))
    first = replace(first, photo=HOSTILE)
    line = sheets.tally.lines[0]
    need = replace(line.need, name=HOSTILE, piece=HOSTILE)
    return replace(
        sheets,
        title=HOSTILE,
        made_on=HOSTILE,
        sure=(HOSTILE,),
        advice=(HOSTILE,),
        notes=(HOSTILE,),
        swatches=(first, *sheets.swatches[1:]),
        photos=(*sheets.photos, replace(photo_of([first], 4), name=HOSTILE)),
        marks={one.label: (HOSTILE,) for one in sheets.swatches},
        sets=(replace(sheets.sets[0], need=HOSTILE, flags=(HOSTILE,)), *sheets.sets[1:]),
        tally=replace(sheets.tally, title=HOSTILE, lines=(replace(line, need=need, note=HOSTILE),)),
        rows=(replace(sheets.rows[0], piece=HOSTILE, remark=HOSTILE),),
        cuts=(replace(sheets.cuts[0], piece=HOSTILE, cloth=HOSTILE, how=HOSTILE, trim=HOSTILE),),
        buys=(replace(sheets.buys[0], cloth=HOSTILE, words=HOSTILE, plan=(HOSTILE,)),),
        cautions=(HOSTILE,),
    )


def test_text_from_people_is_text_wherever_it_stands():
    page = html_report(hostile())
    reader = Reader(page)
    tags = [tag for tag, _ in reader.elements]
    assert "script" not in tags
    plain = [tag for tag, _ in Reader(html_report(made())).elements]
    allowed = len(made().swatches) + len(made().sets)
    assert abs(tags.count("b") - plain.count("b")) <= allowed
    assert words(page).count(HOSTILE) >= 20
    assert {name for _, attrs in reader.elements for name in attrs if "quoted" in name} == set()


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("سجادة للأطفال", "سجادة للأطفال"),
        ("🧵 for Łódź", "🧵 for Łódź"),
        ("half \ud83e a letter\x00", "half ? a letter?"),
        ("q" * 5000, "q" * 5000),
    ],
)
def test_names_in_any_letters_stand_as_they_are(name, shown):
    page = html_report(made(title=name))
    page.encode("utf-8")
    assert f"<bdi>{shown}</bdi>" in page


def test_pictures_at_hand_are_taken_and_the_photo_is_not_needed():
    sheets = made()
    jpegs = re.findall(r"data:image/jpeg;base64,([^\"]+)", html_report(sheets))
    crops = {
        one.label: base64.b64decode(jpeg) for one, jpeg in zip(sheets.swatches, jpegs, strict=False)
    }
    again = html_report(replace(sheets, photos=(), crops=crops))
    assert re.findall(r"data:image/jpeg;base64,([^\"]+)", again)[:12] == jpegs[:12]
    assert "photos" not in Reader(again).ids


def test_a_square_without_any_picture_shows_its_colours_as_large():
    page = html_report(made(photos=()))
    (cloth,) = re.findall(r'<g id="s2">(.*?)</g>', page, re.DOTALL)
    assert "<image" not in cloth
    assert re.findall(r'y="0" width="([\d.]+)" height="100"', cloth) == ["37.5", "50.0", "12.5"]


def test_each_square_stands_over_its_colours_ground_first_and_their_greys():
    page = html_report(made())
    (cloth,) = re.findall(r'<g id="s2">(.*?)</g>', page, re.DOTALL)
    bars = re.findall(r'x="([\d.]+)" y="(\d+)" width="([\d.]+)".*?fill="(#\w+)"', cloth)
    colours = [(start, share) for start, y, share, _ in bars if y == "104"]
    assert colours == [("0.0", "37.5"), ("37.5", "50.0"), ("87.5", "12.5")]
    assert [share for _, y, share, _ in bars if y == "121"] == ["25.0", "62.5", "12.5"]
    assert bars[0][3] == "#efeeea"
    greys = [one for *_, y, _, one in bars if y == "121"]
    assert all(one[1:3] == one[3:5] == one[5:7] for one in greys)


def test_the_bars_are_told_in_words_and_the_print_where_its_name_does_not():
    page = html_report(made())
    shares = "white 38 %, deep red 50 %, light bluish green 12 %"
    assert f"Cloth of R1C3: {shares}" in page
    assert words(page).count("white 38 %, red 50 %, green 12 %") == 2
    assert "large stripe, repeats every 1 1/4 in, runs one way" in words(page)
    one = replace(made().swatches[2], colour_name="white with pink, large stripe")
    assert "large stripe, repeats" not in words(html_report(made(swatches=(one,), sets=())))


def test_colours_are_called_in_everyday_words_where_those_are_wanted():
    page = html_report(made(terms="everyday"))
    assert "Cloth of R1C3: white 38 %, dark red 50 %," in page


def test_a_square_that_was_kept_without_a_palette_shows_its_mean_as_one_bar():
    (cloth,) = re.findall(r'<g id="s0">(.*?)</g>', html_report(made()), re.DOTALL)
    assert re.findall(r'y="104" width="([\d.]+)"', cloth) == ["100.0"]


def large(number):
    """A bundle of busy prints over photos of twelve megapixels, which compress badly."""
    columns, share = 10, 4
    noise = np.random.default_rng(3).integers(0, 256, (3000, 4000, 3), np.uint8)
    swatches, photos = [], []
    for photo in range(number):
        name = f"{photo}.jpg"
        for place in range(100 // number):
            one = swatch(place, columns, name)
            corners = tuple((share * x, share * y) for x, y in one.square.corners)
            square = replace(one.square, corners=corners)
            swatches.append(replace(one, label=f"R{photo}-{one.label}", square=square))
        photos.append(Photo(name, noise))
    return made(swatches=tuple(swatches), photos=tuple(photos), marks={}, sets=(), tally=None)


@pytest.mark.parametrize("photos", [1, 4])
def test_a_hundred_squares_of_the_busiest_kind_stay_under_three_megabytes(photos):
    page = html_report(large(photos))
    assert len(page.encode()) <= MOST
    assert page.count("<image ") == 100 + photos


# ---------------------------------------------------------------- in a browser


@pytest.fixture(scope="module")
def address(page, tmp_path_factory):
    path = tmp_path_factory.mktemp("report") / "report.html"
    path.write_text(page, encoding="utf-8")
    return path.as_uri()


def test_a_browser_shows_it_and_asks_for_nothing_else(chromium, address):
    with visited(chromium, address) as (tab, seen):
        assert tab.title() == "Bundle from the market"
        assert tab.locator("h1").inner_text() == "Bundle from the market"
        assert tab.locator(".set").count() == 5
        wide = tab.locator("img.wall").evaluate("picture => picture.naturalWidth")
        assert wide == 600
        assert tab.locator("svg.photo image, svg.photo use").first.bounding_box()["width"] > 300
    assert seen.asked == [address]
    assert seen.said == []


def test_hostile_names_run_nothing(chromium, tmp_path):
    path = tmp_path / "hostile.html"
    path.write_text(html_report(hostile()), encoding="utf-8")
    with visited(chromium, path.as_uri()) as (tab, seen):
        assert tab.evaluate("document.scripts.length") == 0
        assert tab.title() == HOSTILE
        tab.evaluate("() => new Promise((done) => { requestIdleCallback(done); })")
    assert seen.opened == []
    assert seen.said == []
    assert seen.asked == [path.as_uri()]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_serious_fault(chromium, address, scheme):
    with visited(chromium, address, color_scheme=scheme) as (tab, _):
        assert faults(tab) == []


def test_it_fits_a_phone_even_with_a_very_long_name(chromium, tmp_path):
    path = tmp_path / "long.html"
    path.write_text(html_report(made(title="m" * 300)), encoding="utf-8")
    with visited(chromium, path.as_uri(), viewport={"width": 360, "height": 740}) as (tab, _):
        assert tab.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_skip_link_and_the_switch_work_by_keyboard(chromium, address):
    with visited(chromium, address) as (tab, _):
        tab.keyboard.press("Tab")
        assert tab.evaluate("document.activeElement.className") == "skip"
        tab.keyboard.press("Enter")
        assert tab.evaluate("document.activeElement.id") == "main"
        tab.locator("#in-colour").focus()
        tab.keyboard.press("ArrowRight")
        assert tab.locator("#in-grey").is_checked()


def test_the_value_view_shows_the_lightness_that_was_measured(chromium, address, tmp_path):
    dark = made().swatches[4]
    with visited(chromium, address) as (tab, _):
        tab.locator("#in-grey").check()
        cloth = tab.locator(f'svg[aria-label^="Cloth of {dark.label}:"]').first
        cloth.screenshot(path=tmp_path / "cloth.png")
    with Image.open(tmp_path / "cloth.png") as picture:
        pixels = np.asarray(picture.convert("RGB"))
    middle = srgb8_to_lab(pixels[30:70, 30:70].reshape(-1, 3)).mean(axis=0)
    bar = srgb8_to_lab(pixels[-5, 30:70]).mean(axis=0)
    np.testing.assert_allclose(middle, (dark.lab[0], 0, 0), atol=1.5)
    np.testing.assert_allclose(bar, (dark.lab[0], 0, 0), atol=0.5)


@pytest.fixture(scope="module", params=[("A4", 210, 297), ("Letter", 215.9, 279.4)])
def printed(request, chromium, tmp_path_factory):
    """The report on paper: its size in mm, and words and pixels of each page."""
    size, wide, high = request.param
    folder = tmp_path_factory.mktemp("printed")
    path = folder / "report.html"
    path.write_text(html_report(made(42, 7)), encoding="utf-8")
    with visited(chromium, path.as_uri()) as (tab, _):
        pdf = tab.pdf(format=size)
    return (wide, high), paper.words_of(pdf, folder), paper.pictures_of(pdf, folder)


def test_every_page_has_its_size_and_words_and_ink(printed):
    millimetres, texts, pages = printed
    assert len(texts) == len(pages)
    for text, pixels in zip(texts, pages, strict=True):
        high, wide, _ = pixels.shape
        assert (wide, high) == pytest.approx([mm / 25.4 * paper.DPI for mm in millimetres], abs=2)
        assert len(text.split()) > 10
        assert paper.ink(pixels) > 0.01


def test_everything_is_printed_but_what_only_a_screen_can_do(printed):
    _, texts, pages = printed
    whole = "\n".join(texts)
    for told in ("Evening stars", "Sets, dark to light", "Close the guard", "Sewing list"):
        assert told in whole
    assert "Show the cloth" not in whole
    assert "gone when the page is closed" not in whole
    coloured = next(pixels for text, pixels in zip(texts, pages, strict=True) if "Reds" in text)
    assert paper.colour(coloured) > 0.05


def test_the_heads_of_a_long_list_stand_on_every_page(printed):
    _, texts, _ = printed
    sewing = [text for text in texts if re.search(r"(?m)^\W*[A-J][123] +\d+ ", text)]
    assert len(sewing) > 1
    assert all("squares, and where they go" in " ".join(text.split()) for text in sewing)


def test_no_set_is_cut_by_the_edge_of_a_page(printed):
    _, texts, _ = printed
    for number in range(1, 21):
        (own,) = [text for text in texts if re.search(rf"Set {number} +on the wall", text)]
        assert f"({3.4 * number:.1f})" in own
