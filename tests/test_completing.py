"""What the shell completes."""

import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from waiting import LONG

from cli import completion

ROOT = Path(__file__).parents[1]


def line(**typed):
    """A half-typed line as the completions see it."""
    return SimpleNamespace(params=typed)


def test_bundles_begin_as_typed_in_any_case(kept_file):
    assert completion.bundles(line(), "") == ["blues", "both halves"]
    assert completion.bundles(line(), "BL") == ["blues"]
    assert completion.bundles(line(), "x") == []


def test_the_catalogue_that_was_typed_is_meant(kept_file, monkeypatch, tmp_path):
    monkeypatch.setenv(completion.VARIABLE, str(tmp_path / "other"))
    assert completion.bundles(line(), "") == []
    assert completion.bundles(line(catalogue=kept_file), "b") == ["blues", "both halves"]


def test_squares_of_the_bundle_that_were_not_named_yet(kept_file):
    found = completion.squares(line(name="blues", labels=["R1C2"]), "r1")
    assert found == ["R1C1", "R1C3", "R1C4", "R1C5", "R1C6"]
    assert completion.squares(line(), "R1") == []


def test_projects_of_the_bundle(kept):
    kept("reserve", "blues", "table runner", "--squares", "R1C1")
    kept("reserve", "blues", "bag", "--squares", "R1C2")
    assert completion.projects(line(name="blues"), "") == ["bag", "table runner"]
    assert completion.projects(line(name="both halves"), "") == []
    kept("undo", "blues")
    assert completion.projects(line(name="blues"), "") == ["table runner"]


def test_files_where_no_bundle_begins_so(kept):
    Path("photos").mkdir()
    Path("photos", "x.jpg").touch()
    assert completion.files_and_bundles(line(), "bl") == ["blues"]
    assert completion.files_and_bundles(line(), "ph") == ["photos/"]
    assert completion.files_and_bundles(line(), "photos/") == ["photos/x.jpg"]


@pytest.mark.parametrize("content", [b"", b"not a database" * 100])
def test_nothing_is_made_and_nothing_fails(tmp_path, content):
    place = tmp_path / "deep" / "x.catalogue"
    assert completion.bundles(line(catalogue=place), "") == []
    assert not place.parent.exists()
    place.parent.mkdir()
    place.write_bytes(content)
    assert completion.bundles(line(catalogue=place), "") == []
    assert completion.squares(line(catalogue=place, name="blues"), "") == []
    assert completion.kept_names(place) == ()
    assert place.read_bytes() == content


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("calicount show bl", "blues"),
        ("calicount square isnt blues R1C1 R2C", "R2C3"),
        ("calicount sq", "square"),
        ("calicount count bl", "blues"),
    ],
)
def test_the_shell_is_answered_without_heavy_libraries(kept_file, typed, expected):
    words = typed.split(" ")
    code = (
        "import sys\n"
        "from cli.main import app\n"
        "try:\n    app(prog_name='calicount')\n"
        "finally:\n"
        "    print(sorted({'numpy', 'cv2', 'pandas'} & set(sys.modules)), file=sys.stderr)\n"
    )
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "_CALICOUNT_COMPLETE": "complete_bash",
        "COMP_WORDS": typed,
        "COMP_CWORD": str(len(words) - 1),
    }
    ended = subprocess.run(
        [sys.executable, "-c", code],
        env=environment,
        capture_output=True,
        encoding="utf-8",
        timeout=LONG,
        check=False,
    )
    assert expected in ended.stdout.split()
    assert ended.stderr.strip() == "[]"
