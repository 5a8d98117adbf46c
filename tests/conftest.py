"""Photos and runs of the command that several tests share."""

from __future__ import annotations

import functools
import os
import signal
from pathlib import Path

import pytest
import typer.main
import typer.testing
from browser import chromium  # noqa: F401 - a fixture for whoever asks for it
from hypothesis import settings
from kept_made import (  # noqa: F401 - fixtures for whoever asks for them
    _made,
    _no_catalogue_of_the_users,
    kept,
    kept_file,
    refused,
    squares,
    told,
    two_halves,
)
from looks_kept import looks_once  # noqa: F401 - a fixture for whoever asks for it
from page_server import page, shown  # noqa: F401 - fixtures for whoever asks for them
from typer.testing import CliRunner
from walls_seen import (  # noqa: F401 - fixtures for whoever asks for them
    hangs,
    quickly_hung,
    wall_photo,
)

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    # a shell makes what it runs in the background deaf to Ctrl-C, which tests press
    signal.signal(signal.SIGINT, signal.default_int_handler)

ROOT = Path(__file__).parents[1]
SAMPLES = ROOT / "sample_photos"
FAST = 1000
"""Pixels on the long side that keep every square of the small photo and a run short."""


@pytest.fixture(scope="session", autouse=True)
def _commands_put_together_once():
    """Typer's way from its application to a command takes ten times as long as most commands."""
    with pytest.MonkeyPatch.context() as patch:
        made = functools.cache(typer.main.get_command)
        patch.setattr(typer.testing, "_get_command", made, raising=False)
        yield


@pytest.fixture(scope="session")
def sample_photos() -> Path:
    """The folder of photos with truth."""
    return SAMPLES


@pytest.fixture(scope="session")
def small_photo(tmp_path_factory) -> Path:
    """24 squares in 4 rows of 6, small, in a folder with a blank in its name."""
    return _shrunk(
        SAMPLES / "green_mat_ruler_4x6_prints.jpg",
        tmp_path_factory.mktemp("photos") / "my photos" / "bundle.jpg",
    )


@pytest.fixture(scope="session")
def two_photos(tmp_path_factory) -> tuple[Path, Path]:
    """25 squares in 5 rows of 5 on each of two small photos, of one bundle."""
    folder = tmp_path_factory.mktemp("two")
    one, two = (
        _shrunk(SAMPLES / f"bundle_25_photo_{which}.jpg", folder / which / "bundle.jpg")
        for which in "ab"
    )
    return one, two


@pytest.fixture(scope="session")
def no_squares(tmp_path_factory) -> Path:
    """A photo of nothing but a shade from side to side."""
    import numpy as np
    from PIL import Image

    path = tmp_path_factory.mktemp("none") / "cloth.png"
    shade = np.linspace(90, 160, 640, dtype=np.uint8)
    Image.fromarray(np.broadcast_to(shade[None, :, None], (480, 640, 3)).copy()).save(path)
    return path


@pytest.fixture(scope="session")
def _remembered():
    """The pipeline's way from photos to swatches, each question asked but once in a session."""
    from catalog import pipeline

    look = pipeline.catalogue
    silent = functools.cache(
        lambda paths, side, families, *said: look(paths, side, families, _nothing, *said)
    )

    def looked(paths, side, families, tell, hints=None, terms="standard", read=None, measured=None):
        bundle = silent(tuple(paths), side, families, hints, terms)
        if measured:
            measured([one.photo for one in bundle.photos], bundle.swatches)
        return bundle

    return looked


@pytest.fixture
def calicount(monkeypatch, tmp_path, _remembered, looks_once):  # noqa: F811 - the fixture
    """Run the command in this process, in an empty folder; photos are looked at but once."""
    from catalog import pipeline
    from cli.main import app

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(pipeline, "catalogue", _remembered)
    looks_once(monkeypatch)
    monkeypatch.setenv("COLUMNS", "80")

    def run(*words, **settings):
        return CliRunner().invoke(app, [str(word) for word in words], **settings)

    return run


def _shrunk(source: Path, target: Path) -> Path:
    from PIL import Image

    target.parent.mkdir(parents=True)
    with Image.open(source) as picture:
        picture.thumbnail((FAST, FAST))
        picture.save(target, quality=92)
    return target


def _nothing(_: str) -> None:
    """Be told what is being done, and do nothing about it."""


settings.register_profile("alike", deadline=None, derandomize=True)
settings.register_profile("other", deadline=None)
settings.load_profile(os.environ.get("CALICOUNT_EXAMPLES") or "alike")
