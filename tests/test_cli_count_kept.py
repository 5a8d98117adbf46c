"""``calicount count`` and ``report`` of a kept bundle as a person types them."""

import csv
import json
import shutil
import sys
from pathlib import Path

import pytest

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.bundle_count import wall_pattern
from catalog.catalogue.events.wall_events import SETS_ALONE, ExchangedBlocks, name_of_text
from catalog.catalogue.last_count import last_count
from catalog.pattern.pattern_file import pattern_text
from cli.counting.count_options import CountOptions
from cli.counting.typed_count import request_of
from cli.page.routes.plan_routes import request_from


def labels_in(folder):
    with Path(folder, "swatches.csv").open(encoding="utf-8", newline="") as stream:
        return [row["swatch"] for row in csv.DictReader(stream)]


def test_a_kept_bundle_is_counted_as_its_photo_is(kept, small_photo):
    of_photo = kept("count", small_photo, "--pattern", "pinwheel", "--out", "photo")
    of_bundle = kept("count", "blues", "--pattern", "pinwheel", "--out", "bundle")
    assert of_photo.exit_code == of_bundle.exit_code == 3, of_bundle.output
    names = sorted(path.name for path in Path("photo").iterdir())
    assert sorted(path.name for path in Path("bundle").iterdir()) == names
    for name in ("swatches.csv", "sets.csv", "tally.csv", "wall.csv", "cutting.csv"):
        assert Path("photo", name).read_bytes() == Path("bundle", name).read_bytes()
    said = of_bundle.stdout.replace("folder bundle:", "folder photo:")
    assert said == of_photo.stdout


def test_what_clusters_is_not_needed_for_squares_whose_families_are_kept(kept, monkeypatch):
    monkeypatch.setitem(sys.modules, "sklearn.cluster", None)
    assert kept("count", "blues", "--sets", "3", "--out", "out").exit_code == 0


def test_the_count_is_kept(kept, kept_file, told):
    counted = told("count", "BLUES", "--sets", 3, "--out", "out")
    with Catalogue(kept_file) as catalogue:
        blues = catalogue.bundle("blues")
        last = last_count(catalogue, blues)
        assert last_count(catalogue, catalogue.bundle("both halves")) is None
    assert [[blues.label(number) for number in one.squares] for one in last.sets] == [
        one["swatches"] for one in counted["sets"]
    ]
    assert last.pattern == ""


def test_only_what_is_free_is_counted(kept):
    kept("square", "mark", "blues", "cut", "R1C1", "R1C2")
    kept("square", "mark", "blues", "held-back", "R1C3")
    kept("square", "isnt", "blues", "R1C4")
    said = kept("count", "blues", "--out", "out")
    assert said.exit_code == 0, said.output
    assert "blues, without 2 squares cut, 1 square held back." in said.stdout
    listed = labels_in("out")
    assert len(listed) == 21
    assert not {"R1C1", "R1C2", "R1C4"} & set(listed)
    with Path("out", "sets.csv").open(encoding="utf-8", newline="") as stream:
        assert "R1C3" not in stream.read()


def test_all_used_up_is_short_and_no_fault(kept, squares):
    kept("reserve", "blues", "all of it", *(f"--squares={label}" for label in squares()))
    short = kept("count", "blues", "--pattern", "pinwheel", "--out", "out")
    assert short.exit_code == 3, short.output
    assert "Not enough." in short.stdout
    assert kept("report", "blues", "--out", "pages").exit_code == 0


def test_corrections_are_in_the_files(kept):
    kept("square", "place", "blues", "R1C1", "R9C9")
    kept("fabric", "own", "blues", "R1C2")
    kept("count", "blues", "--out", "out")
    assert "R9C9" in labels_in("out")


def test_two_photos_give_two_pictures(kept):
    ended = kept("count", "both halves", "--out", "out", "--quiet")
    assert (ended.exit_code, ended.output) == (0, "")
    assert {"found.jpg", "found-2.jpg"} <= {path.name for path in Path("out").iterdir()}


def test_a_photo_of_that_name_comes_first(kept, small_photo):
    shutil.copy(small_photo, "blues")
    said = kept("count", "blues", "--hold-back", "R1C1", "--out", "out")
    assert said.exit_code == 0, said.output
    assert "blues: 24 squares found." in said.stdout


def test_a_folder_of_that_name_is_not_in_the_way(kept):
    Path("blues").mkdir()
    assert kept("count", "blues", "--out", "out").exit_code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["greys"], "there is neither a photo nor a kept bundle called 'greys'"),
        (["greys.jpg"], "there is no photo 'greys.jpg'"),
        (["blues", "both halves"], "count it by itself: calicount count blues"),
        (["blues", "--square", "5"], "--square is for photos"),
        (["blues", "--white", "R1C1"], "calicount light blues --white R1C1"),
        (["blues", "--ground", "wood"], "calicount light blues --ground wood"),
        (["blues", "--lamp"], "calicount light blues --lamp"),
        (["blues", "--no-lamp"], "calicount light blues --no-lamp"),
        (["blues", "--tolerance", "-2"], "--tolerance -2"),
        (["blues", "--lock", "R1C1+R9C9"], "R9C9"),
        (["blues", "--pattern", "pinwheel", "--sets", "3"], "leave one of them out"),
    ],
)
def test_what_can_t_be_meant(refused, words, says):
    refused("count", *words, says=says)
    assert not Path("calicount-out").exists()


def test_asking_for_a_bundle_makes_no_catalogue(kept, tmp_path):
    elsewhere = tmp_path / "new" / "x.catalogue"
    assert kept("count", "greys", "--catalogue", elsewhere).exit_code == 2
    assert not elsewhere.parent.exists()


def test_standing_set_size_gives_way_to_a_pattern(kept):
    kept("rules", "blues", "--set-size", 3)
    assert kept("count", "blues", "--pattern", "pinwheel", "--out", "out").exit_code == 3
    with Path("out", "sets.csv").open(encoding="utf-8", newline="") as stream:
        assert "swatch_c" not in stream.readline()


def walls(folder):
    """The squares that hang at each place."""
    with Path(folder, "wall.csv").open(encoding="utf-8", newline="") as stream:
        return {row["place"]: (row["darker"], row["lighter"]) for row in csv.DictReader(stream)}


def test_blocks_hang_where_they_were_put_on_the_sorting_page(kept, kept_file):
    order = ["count", "blues", "--order", "scattered", "--replace", "--out", "out"]
    assert kept(*order).exit_code == 0
    before = walls("out")
    one, other = list(before)[:2]
    with Catalogue(kept_file) as catalogue:
        catalogue.do("blues", [ExchangedBlocks(f"{SETS_ALONE}|sets|scattered", (one, other))])
    assert kept(*order).exit_code == 0
    after = walls("out")
    assert (after[one], after[other]) == (before[other], before[one])
    assert {place: after[place] for place in list(after)[2:]} == {
        place: before[place] for place in list(before)[2:]
    }


def test_walls_are_called_as_on_the_sorting_page(kept_file, tmp_path):
    with Catalogue(kept_file) as catalogue:
        blues = catalogue.bundle("blues")
    own = tmp_path / "mine.toml"
    own.write_text(pattern_text("pinwheel"), encoding="utf-8")
    text = pattern_text("pinwheel")
    for pattern, asked, name in (
        (None, None, SETS_ALONE),
        ("Pinwheel", "pinwheel", "pinwheel"),
        (str(own), {"text": text}, name_of_text(text)),
    ):
        with Catalogue(kept_file, reading=True) as catalogue:
            on_page = request_from({"pattern": asked}, blues, catalogue)
        typed = request_of(CountOptions(pattern=pattern), blues.state.rules, blues.side)
        assert wall_pattern(typed.pattern) == wall_pattern(on_page.pattern) == name


# ------------------------------------------------------------------ pages to print


def test_report_writes_pages_and_the_tables_of_count(kept):
    kept("square", "mark", "blues", "damaged", "R1C1")
    kept("reserve", "blues", "<runner>", "--squares", "R1C2+R1C3")
    ended = kept("report", "blues", "--pattern", "pinwheel", "--out", "pages")
    assert ended.exit_code == 3, ended.output
    written = {path.name for path in Path("pages").iterdir()}
    assert {"report.html", "cards.pdf", "sets.csv", "wall.csv"} <= written
    assert not {"found.jpg", "values.jpg"} & written
    for name in ("report.html", "cards.pdf"):
        assert f"  {name} " in ended.stdout
    page = Path("pages", "report.html").read_text(encoding="utf-8")
    for words in ("blues", "damaged", "reserved for &lt;runner&gt;", "Pinwheels"):
        assert words in page
    assert "<runner>" not in page
    assert Path("pages", "cards.pdf").read_bytes().startswith(b"%PDF-")


def test_report_tells_json_and_takes_the_paper_by_name(kept):
    ended = kept("report", "blues", "--sets", 2, "--paper", "Letter", "--json")
    assert ended.exit_code == 0, ended.output
    files = [Path(name) for name in json.loads(ended.stdout)["files"]]
    assert {path.name for path in files} >= {"report.html", "cards.pdf"}
    assert {path.parent.name for path in files} == {"calicount-report"}
    assert all(path.is_file() for path in files)


def test_pages_are_not_written_over_unasked(kept, refused):
    Path("pages").mkdir()
    Path("pages", "cards.pdf").write_text("mine", encoding="utf-8")
    refused("report", "blues", "--out", "pages", says=["already holds cards.pdf", "--replace"])
    assert kept("report", "blues", "--out", "pages", "--replace").exit_code == 0
    assert Path("pages", "cards.pdf").read_bytes().startswith(b"%PDF-")


def test_a_booklet_comes_where_it_is_asked_for(kept, refused):
    asked = ("report", "blues", "--pattern", "four-patch", "--booklet", "--for", 12)
    ended = kept(*asked, "--large-print", "--out", "class")
    assert ended.exit_code == 3, ended.output
    assert "  booklet.pdf " in ended.stdout
    assert Path("class", "booklet.pdf").read_bytes().startswith(b"%PDF-")
    refused(*asked, "--out", "class", says=["already holds", "--replace"])
    refused("report", "blues", "--for", 3, says=["--for says how a booklet is made", "--booklet"])
    refused("report", "blues", "--booklet", says=["no plan of a quilt", "--pattern"])
