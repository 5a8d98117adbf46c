"""``calicount add`` as a person types it."""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from waiting import LONG

from catalog import analysis
from catalog.errors import PhotoError
from cli.photo_files import photo_files

ROOT = Path(__file__).parents[1]


def test_a_new_bundle_is_kept_and_told(kept, small_photo):
    ended = kept("add", "greens", small_photo)
    assert ended.exit_code == 0, ended.output
    assert ended.stderr == ""
    assert "greens: 24 squares added from bundle.jpg." in ended.stdout
    assert "24 squares of " in ended.stdout
    assert "olours are judged by" in ended.stdout
    assert "greens" in kept("bundles").stdout


def test_json_tells_bundle_and_photos(kept, small_photo):
    ended = kept("add", "greens", small_photo, "--json")
    found = json.loads(ended.stdout)
    assert found["added"] == ["bundle.jpg"]
    assert (found["known"], found["without_squares"], found["not_read"]) == ([], [], [])
    assert len(found["bundle"]["squares"]) == 24
    assert found["bundle"]["square_in"] == 5


def test_quiet_says_nothing(kept, small_photo):
    ended = kept("add", "greens", small_photo, "--quiet")
    assert (ended.exit_code, ended.stdout, ended.stderr) == (0, "", "")


def test_the_same_photo_under_another_name_is_known_by_its_content(kept, small_photo, squares):
    before = squares()
    shutil.copy(small_photo, "copy of it.jpg")
    ended = kept("add", "blues", "copy of it.jpg")
    assert ended.exit_code == 0, ended.output
    assert "copy of it.jpg is in blues already; nothing is added twice." in ended.stdout
    assert squares() == before


def test_one_content_named_twice_is_added_once(told, small_photo):
    shutil.copy(small_photo, "again.jpg")
    found = told("add", "new", small_photo, "again.jpg")
    assert (found["added"], found["known"]) == (["bundle.jpg"], ["again.jpg"])


def test_a_photo_added_later_leaves_numbers_and_corrections(kept, told, squares, two_halves):
    kept("square", "call", "blues", "R1C1", "apron")
    before = squares()
    found = told("add", "blues", two_halves[0])
    after = {one["square"]: one for one in found["bundle"]["squares"]}
    assert len(after) > len(before) == 24
    assert after["R1C1"]["name"] == "apron"
    for label, one in before.items():
        assert after[label]["corners"] == one["corners"]
    assert min(after[label]["row"] for label in after.keys() - before.keys()) == 5


def test_squares_of_overlapping_photos_are_offered_as_one(kept, two_halves):
    said = kept("add", "twice", *two_halves, "--jobs", "1").stdout
    # The halves share columns 3 and 4 of the layout: columns 1 and 2 of the second photo, whose
    # rows count on from the four of the first.
    right = {(f"R{row}C{col}", f"R{row + 4}C{col - 2}") for row in range(1, 5) for col in (3, 4)}
    offers = re.findall(
        r"^(\S+) and (\S+) look like one piece of cloth: calicount square same twice \1 \2$",
        said,
        re.MULTILINE,
    )
    assert len(offers) >= 6
    assert set(offers) <= right


def test_a_folder_is_read_in_the_order_of_its_names(kept, told, small_photo, no_squares):
    folder = Path("photos")
    (folder / "more").mkdir(parents=True)
    shutil.copy(small_photo, folder / "photo 10.JPG")
    shutil.copy(no_squares, folder / "photo 9.png")
    (folder / "notes.txt").write_text("not a photo", encoding="utf-8")
    assert [path.name for path in photo_files([folder])] == ["photo 9.png", "photo 10.JPG"]
    found = told("add", "new", folder, "--jobs", "1")
    assert (found["added"], found["without_squares"]) == (["photo 10.JPG"], ["photo 9.png"])


@pytest.mark.parametrize("bad", ["torn.jpg", "gone.jpg"])
def test_one_bad_photo_of_several_is_2_and_those_kept_are_named(bad, kept, small_photo):
    Path("torn.jpg").write_bytes(small_photo.read_bytes()[:4000])
    ended = kept("add", "new", bad, small_photo, "--jobs", "1", "--quiet")
    assert (ended.exit_code, ended.stdout) == (2, "")
    assert f"'{bad}'" in ended.stderr
    assert ended.stderr.endswith("calicount: only bundle.jpg is kept.\n")
    assert "bundle.jpg" in kept("show", "new").stdout


def test_bad_photos_are_reported_and_the_rest_done(kept, small_photo):
    Path("torn.jpg").write_bytes(small_photo.read_bytes()[:4000])
    ended = kept("add", "new", "torn.jpg", "gone.jpg", small_photo, "--jobs", "1")
    assert ended.exit_code == 2, ended.output
    assert "new: 24 squares added from bundle.jpg." in ended.stdout
    assert "calicount: there is no photo 'gone.jpg'; " in ended.stderr
    assert "'torn.jpg' is cut off" in ended.stderr
    assert ended.stderr.count("\n") == 3


def test_only_bad_photos_are_2_and_no_bundle_is_made(kept, small_photo):
    Path("torn.jpg").write_bytes(small_photo.read_bytes()[:4000])
    ended = kept("add", "new", "torn.jpg")
    assert ended.exit_code == 2
    assert ended.stdout == ""
    assert "new" not in kept("bundles").stdout


def test_no_squares_is_4_and_no_bundle_is_made(refused, kept, no_squares):
    refused("add", "new", no_squares, says="cloth.png: no squares found", code=4)
    assert "new" not in kept("bundles").stdout


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["", "x.jpg"], "can't be called ''"),
        (["x" * 81, "x.jpg"], "can't be called"),
        (["blues", "x.jpg", "--square", "2 1/2"], "squares of blues measure 5 in"),
        (["new", "x.jpg", "--square", "far"], '"far" is no length'),
        (["new", "x.jpg", "--jobs", "0"], "--jobs 0 can't be meant"),
        (["new", "."], "the folder '.' has no photos in it"),
    ],
)
def test_what_can_t_be_meant_is_refused_before_looking(refused, monkeypatch, words, says):
    def fail(*_, **__):
        pytest.fail("a photo was looked at")

    monkeypatch.setattr(analysis, "analyse_photos", fail)
    refused("add", *words, says=says)


def test_a_photo_where_the_name_should_be(refused, small_photo):
    shutil.copy(small_photo, "one.jpg")
    refused("add", "one.jpg", small_photo, says="the bundle's name comes before the photos")


def test_a_folder_that_can_t_be_read(monkeypatch, tmp_path):
    def fail(_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", fail)
    with pytest.raises(PhotoError, match="can't be read \\(Permission denied\\)"):
        photo_files([tmp_path])


def test_a_photo_that_was_taken_out_says_how_it_comes_back(kept, two_halves):
    kept("photo", "drop", "both halves", "2")
    ended = kept("add", "both halves", two_halves[1])
    assert "It was taken out; calicount undo" in " ".join(ended.stdout.split())


def test_what_lies_under_the_squares_is_kept(told, small_photo):
    found = told("add", "new", small_photo, "--ground", "mat")
    assert found["bundle"]["photos"][0]["ground"] == "mat"


def test_a_cluster_that_is_not_there(refused, monkeypatch, small_photo):
    monkeypatch.setitem(sys.modules, "dask.distributed", None)
    refused("add", "new", small_photo, "--cluster", "tcp://127.0.0.1:1", says="calicount[cluster]")


def test_two_commands_that_make_one_bundle_at_once_both_count(
    kept_file, small_photo, two_halves, told
):
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "OMP_NUM_THREADS": "1"}
    started = [
        subprocess.Popen(
            [sys.executable, "-m", "cli.start", "add", "shared", str(photo)],
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for photo in (small_photo, two_halves[0])
    ]
    for process in started:
        out, error = process.communicate(timeout=LONG)
        assert process.returncode == 0, out + error
    shared = told("show", "shared")
    assert sorted(photo["name"] for photo in shared["photos"]) == ["bundle.jpg", "left.jpg"]
    assert len({one["square"] for one in shared["squares"]}) == len(shared["squares"]) > 24


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::ResourceWarning")
def test_a_cluster_of_the_user_s_looks_at_the_photos(kept, two_halves):
    distributed = pytest.importorskip("dask.distributed", reason="dask isn't installed")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None
    ) as cluster:
        ended = kept("add", "twice", *two_halves, "--cluster", cluster.scheduler_address)
    assert ended.exit_code == 0, ended.output
    assert "squares added from left.jpg and right.jpg" in ended.stdout
