"""A catalogue of small bundles, made once in a session and copied for each test."""

from __future__ import annotations

import json
import shutil

import pytest
from typer.testing import CliRunner

from catalog.catalogue.store.catalogue_file import VARIABLE

LEFT, RIGHT = (0.0, 0.68), (0.32, 1.0)
"""Parts of a photo's width that two photos of one layout show."""


@pytest.fixture(autouse=True)
def _no_catalogue_of_the_users(monkeypatch, tmp_path):
    """Let no test see or change the catalogue of whoever runs it."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "kept" / "bundles.catalogue"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


@pytest.fixture(scope="session")
def two_halves(tmp_path_factory, small_photo):
    """Two photos of one layout: columns 1 to 4 and 3 to 6 of the small photo."""
    from PIL import Image

    folder = tmp_path_factory.mktemp("halves")
    paths = []
    with Image.open(small_photo) as whole:
        for name, (first, last) in (("left.jpg", LEFT), ("right.jpg", RIGHT)):
            part = whole.crop((int(first * whole.width), 0, int(last * whole.width), whole.height))
            part.save(folder / name, quality=95)
            paths.append(folder / name)
    return tuple(paths)


@pytest.fixture(scope="session")
def _made(tmp_path_factory, small_photo, two_halves, looks_once):
    """The catalogue that is copied: ``blues`` of one photo, ``both halves`` of two."""
    from cli.main import app

    place = tmp_path_factory.mktemp("kept") / "made.catalogue"
    with pytest.MonkeyPatch.context() as patch:
        looks_once(patch)
        for words in (["blues", str(small_photo)], ["both halves", *map(str, two_halves)]):
            ended = CliRunner().invoke(
                app, ["add", *words, "--jobs", "1", "--catalogue", str(place), "--json"]
            )
            assert ended.exit_code == 0, ended.output
    return place


@pytest.fixture
def kept_file(_made, tmp_path, monkeypatch):
    """A catalogue of the test's own, which every command in it uses."""
    place = tmp_path / "own.catalogue"
    shutil.copy(_made, place)
    monkeypatch.setenv(VARIABLE, str(place))
    return place


@pytest.fixture
def kept(kept_file, monkeypatch, tmp_path, looks_once):
    """Run a command on the catalogue, in an empty folder; photos are looked at but once."""
    from cli.main import app

    looks_once(monkeypatch)
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setenv("COLUMNS", "100")

    def run(*words):
        return CliRunner().invoke(app, [str(word) for word in words])

    return run


@pytest.fixture
def told(kept):
    """Run a command with ``--json`` and return what it told."""

    def run(*words, code=0):
        ended = kept(*words, "--json")
        assert ended.exit_code == code, ended.output
        return json.loads(ended.stdout)

    return run


@pytest.fixture
def squares(told):
    """The squares of a bundle by their labels, as ``show`` tells them."""

    def run(name="blues"):
        shown = told("show", name)
        return {one["square"]: one for one in shown["squares"]}

    return run


@pytest.fixture
def refused(kept):
    """Run a command that is refused: one sentence with a cure, and nothing changed."""

    def run(*words, says=(), code=2):
        ended = kept(*words)
        assert ended.exit_code == code, ended.output
        assert ended.stdout == ""
        assert ended.stderr.startswith("calicount: ")
        assert ended.stderr.endswith(".\n")
        assert ended.stderr.count("\n") == 1
        assert "; " in ended.stderr
        for part in (says,) if isinstance(says, str) else says:
            assert part in ended.stderr
        return ended.stderr

    return run
