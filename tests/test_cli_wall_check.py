"""``calicount wall-check``: what differs on the wall, told, drawn, taken over and ticked."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from walls_seen import SWAPPED

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.pattern.pattern_file import pattern_text
from cli import console

pytestmark = pytest.mark.usefixtures("quickly_hung")


PINWHEEL = ("--pattern", "wheels.toml")


@pytest.fixture(autouse=True)
def _eight_blocks(kept):
    """A pattern of eight blocks, which is quick to plan."""
    text = pattern_text("pinwheel").replace("rows = 5", "rows = 2")
    Path("wheels.toml").write_text(text, encoding="utf-8")


def wall_of(folder):
    with Path(folder, "wall.csv").open(encoding="utf-8", newline="") as file:
        return {row["place"]: row for row in csv.DictReader(file)}


def test_a_wall_that_hangs_as_planned_ends_with_0(kept, hangs, wall_photo):
    near = {"near": "cloths that look alike may have changed places."}
    hangs(A1=near, A2=near, A3=near, B1="not in the photo", B2="not in the photo",
          B3={"state": "not in the photo", "near": "nothing is planned there"})  # fmt: skip
    ended = kept("wall-check", "blues", wall_photo, *PINWHEEL)
    assert ended.exit_code == 0, ended.output
    assert "told hang as planned." in ended.stdout
    assert "Not in the photo: B1, B2." in ended.stdout
    assert "At A1 to A3 cloths that look alike may have changed places." in ended.stdout
    assert {path.name for path in Path("calicount-wall").iterdir()} == {
        "checked.jpg", "wall_check.csv"
    }  # fmt: skip


def test_what_differs_is_told_in_the_order_of_putting_it_right(kept, hangs, wall_photo):
    hangs(**SWAPPED, A3="sides", A4={"state": "can't tell", "near": "it lies in a shadow"})
    ended = kept("wall-check", "blues", wall_photo, *PINWHEEL, "--out", "out")
    assert ended.exit_code == 3, ended.output
    lines = [line.strip() for line in ended.stdout.splitlines()]
    at = lines.index("To put right, in this order:")
    assert lines[at + 1] == "1. A1 and A2 have changed places (97 % sure)."
    assert lines[at + 2].startswith("2. In A3 the darker cloth is ")
    assert lines[at + 3 : at + 5] == [
        "Look at these yourself:",
        "3. A4 can't be told: it lies in a shadow.",
    ]
    again = kept("wall-check", "blues", wall_photo, *PINWHEEL, "--out", "out")
    assert (again.exit_code, "already holds checked.jpg" in again.stderr) == (2, True)
    assert kept("wall-check", "blues", wall_photo, "--out", "out", "--replace").exit_code == 2


def test_json_holds_every_place_of_several_photos(kept, hangs, wall_photo, told):
    hangs(**SWAPPED, A3={"state": "turned", "turned_deg": 90})
    other = Path("-other wall.png")
    other.write_bytes(wall_photo.read_bytes())
    shown = told("wall-check", "blues", wall_photo, f"./{other}", *PINWHEEL, code=3)
    first = shown["places"][0]
    assert {name: first[name] for name in ("place", "state", "shows", "turned_deg", "sure")} == {
        "place": "A1", "state": "other", "shows": "A2", "turned_deg": 0, "sure": 0.97
    }  # fmt: skip
    assert shown["places"][2]["turned_deg"] == 90
    assert [move["says"] for move in shown["moves"]] == [
        "A1 and A2 have changed places",
        "A3 hangs a quarter turn to the right",
    ]
    assert shown["as_planned"] is False
    assert [Path(one).name for one in shown["files"]] == [
        "checked.jpg", "checked-2.jpg", "wall_check.csv"
    ]  # fmt: skip


def test_a_photo_without_the_wall_ends_with_4(refused, hangs, wall_photo):
    hangs(found=False)
    refused("wall-check", "blues", wall_photo, *PINWHEEL, says="no wall found", code=4)
    assert not Path("calicount-wall").exists()


def test_the_plan_of_a_file_goes_before_the_bundle_s(kept, hangs, wall_photo, refused):
    kept("count", "blues", *PINWHEEL, "--order", "rainbow-across", "--out", "made", "--quiet")
    hangs()
    ended = kept("wall-check", "blues", wall_photo, "--plan", "made/wall.csv", "--json")
    assert ended.exit_code == 0, ended.output
    for words, says in (
        (["--take-as-is"], "--take-as-is is for the plan that the bundle has"),
        (["--tick", "yes"], "--tick is for the plan that the bundle has"),
        (["--pattern", "four-patch"], "not those of this pattern"),
        (["--pattern", "nothing"], 'no file called "nothing"'),
    ):
        refused("wall-check", "blues", wall_photo, "--plan", "made/wall.csv", *words, says=says)
    ended = kept("wall-check", "blues", wall_photo, "--plan", "made/wall.csv", "--tick", "yes")
    assert ended.stderr.count("--help") == 1
    refused("wall-check", "blues", wall_photo, "--plan", "no.csv", says="there is no plan 'no.csv'")
    refused("wall-check", "blues", "no.jpg", *PINWHEEL, says="there is no photo 'no.jpg'")
    refused("wall-check", "both halves", wall_photo, says="was never counted")
    refused("wall-check", "blues", wall_photo, "--project", "runner", says="no project runner")


@pytest.mark.slow
def test_taking_it_as_it_hangs_is_kept_and_undone(kept, kept_file, hangs, wall_photo):
    kept("count", "blues", *PINWHEEL, "--out", "before", "--quiet")
    hangs(**SWAPPED, A3="sides", A4={"state": "turned", "turned_deg": 90})
    ended = kept("wall-check", "blues", wall_photo, "--take-as-is", "--out", "taken")
    assert ended.exit_code == 0, ended.output
    assert "A1 to A4 are planned as it hangs" in ended.stdout
    kept("count", "blues", *PINWHEEL, "--out", "after", "--quiet")
    old, new, told = wall_of("before"), wall_of("after"), wall_of("taken")
    assert told == new
    assert (new["A1"]["set"], new["A2"]["set"]) == (old["A2"]["set"], old["A1"]["set"])
    assert new["A3"]["darker_goes"] == old["A3"]["lighter_goes"]
    assert (new["A4"]["turned"], old["A4"]["turned"]) == ("90", "0")
    assert new["A4"]["press_inside"] != old["A4"]["press_inside"]
    assert kept("undo", "blues").exit_code == 0
    assert told_of_walls(kept_file) == {}
    hangs()
    again = kept("wall-check", "blues", wall_photo, "--take-as-is")
    assert "the plan stays as it is" in again.stdout
    assert "undo" not in again.stdout


def test_what_still_misses_after_taking_it_as_it_hangs_differs(kept, hangs, wall_photo):
    hangs(**SWAPPED, B2="missing")
    take = ("wall-check", "blues", wall_photo, *PINWHEEL, "--take-as-is", "--out", "taken")
    ended = kept(*take)
    assert ended.exit_code == 3, ended.output
    assert "A1 and A2 are planned as it hangs" in ended.stdout
    assert "Nothing hangs yet at B2, where the plan has a block." in ended.stdout
    assert "follows what hangs at 2 places" in kept("history", "blues").stdout


SEWN = {"A1": {"joined_to": ("A2",)}, "A2": {"joined_to": ("A1",)}}


def test_what_is_sewn_is_ticked_only_after_asking(kept, kept_file, hangs, wall_photo, monkeypatch):
    hangs(**SEWN)
    check = ("wall-check", "blues", wall_photo, *PINWHEEL, "--out", "out", "--replace")
    told = kept(*check).stdout
    assert "Sewn to the next, as it looks: A1 and A2." in told
    assert "--tick yes ticks them" in told
    asked = []
    monkeypatch.setattr(console, "ask", lambda words: bool(asked.append(words)))
    assert "Ticked" not in kept(*check).stdout
    assert asked == ["2 blocks look sewn: A1 and A2. Tick them on the sewing list?"]
    assert told_of_walls(kept_file) == {}
    ticked = json.loads(kept(*check, "--tick", "yes", "--json").stdout)["ticked"]
    assert ticked == ["A1", "A2"]
    (wall,) = told_of_walls(kept_file).values()
    assert wall.done == ("A1", "A2")


def told_of_walls(file):
    """What was said of walls, by their names."""
    with Catalogue(file) as catalogue:
        return catalogue.bundle("blues").state.wall


@pytest.mark.slow
def test_a_project_s_sets_hang_as_they_were_planned_before(kept, hangs, wall_photo):
    kept("count", "blues", *PINWHEEL, "--out", "before", "--quiet")
    kept("reserve", "blues", "runner", *PINWHEEL)
    hangs(**SWAPPED)
    ended = kept("wall-check", "blues", wall_photo, "--take-as-is", "--out", "taken")
    assert ended.exit_code == 0, ended.output
    old, new = wall_of("before"), wall_of("taken")
    assert new["A1"]["darker"] == old["A2"]["darker"]
    assert new["A3"]["darker"] == old["A3"]["darker"]
