"""What a photo's file says of place, time and camera stays at home unless it is asked for."""

import json
import zipfile

import numpy as np
import pytest
from PIL import Image

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.photo import decode_photo

SECRET = "WhErE"


@pytest.fixture(scope="module")
def telling(small_photo, tmp_path_factory):
    """Return a photo that tells where it was taken, lying on its side."""
    told = Image.Exif()
    told[0x0112], told[0x010F], told[0x0110] = 6, SECRET, SECRET
    told[0x8825] = {1: "N", 2: (52.0, 30.0, 1.0), 29: SECRET}
    told[0x8769] = {0x927C: SECRET.encode() * 9}
    path = tmp_path_factory.mktemp("telling") / "bundle.jpg"
    with Image.open(small_photo) as image:
        image.transpose(Image.Transpose.ROTATE_90).save(
            path, "JPEG", quality=95, exif=told, comment=SECRET
        )
    return path


@pytest.fixture(scope="module")
def _kept(telling, tmp_path_factory):
    from typer.testing import CliRunner

    from cli.main import app

    place = tmp_path_factory.mktemp("telling") / "kept.catalogue"
    ended = CliRunner().invoke(
        app, ["add", "blues", str(telling), "--jobs", "1", "--catalogue", str(place)]
    )
    assert ended.exit_code == 0, ended.output
    return place


@pytest.fixture
def own(_kept, tmp_path, monkeypatch):
    from shutil import copy

    from catalog.catalogue.store.catalogue_file import VARIABLE

    place = tmp_path / "own.catalogue"
    copy(_kept, place)
    monkeypatch.setenv(VARIABLE, str(place))
    monkeypatch.chdir(tmp_path)
    return place


def everything(folder):
    return b"".join(one.read_bytes() for one in folder.rglob("*") if one.is_file())


def in_zip(path):
    with zipfile.ZipFile(path) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def test_exports_leave_it_out_and_say_so(own, calicount, telling, tmp_path):
    assert SECRET.encode() in telling.read_bytes()
    ended = calicount("export", "blues", "blues.zip")
    assert "what its photos said of place, time and camera is left out" in ended.stdout
    packed = in_zip(tmp_path / "blues.zip")
    assert SECRET.encode() not in b"".join(packed.values())
    (photo,) = (content for name, content in packed.items() if name.startswith("photos/"))
    assert np.array_equal(
        decode_photo(photo, "x").pixels, decode_photo(telling.read_bytes(), "x").pixels
    )


def test_exports_carry_it_when_asked_and_say_so(own, calicount, telling, tmp_path):
    ended = calicount("export", "blues", "blues.zip", "--with-photo-data")
    assert "is in it too" in ended.stdout
    assert telling.read_bytes() in in_zip(tmp_path / "blues.zip").values()
    told = json.loads(calicount("export", "blues", "blues.zip", "--replace", "--json").stdout)
    assert told["photo_data"] is False


def test_what_was_left_out_is_no_loss_elsewhere(own, calicount, telling, tmp_path):
    """The bundle is as it was, and a photo is known both as it came and as it went."""
    with Catalogue(own) as kept:
        before = kept.bundle("blues")
    calicount("export", "blues", "blues.zip")
    at = ["--catalogue", str(tmp_path / "elsewhere.catalogue")]
    assert calicount("import", "blues.zip", *at).exit_code == 0
    assert "All is well" in calicount("check-up", *at).stdout
    with Catalogue(tmp_path / "elsewhere.catalogue") as kept:
        after = kept.bundle("blues")
        assert after.swatches == before.swatches
        assert after.measured_from == before.measured_from
        went = kept.content(after.photos[0].id)
    (tmp_path / "went.jpg").write_bytes(went)
    for path in (telling, tmp_path / "went.jpg"):
        ended = calicount("add", "blues", str(path), *at)
        assert ended.exit_code == 0, ended.output
        assert "already" in ended.output
    for words in (["square", "isnt", "blues", "R1C1"], ["undo", "blues"]):
        assert calicount(*words, *at).exit_code == 0
    with Catalogue(tmp_path / "elsewhere.catalogue") as kept:
        assert kept.bundle("blues").swatches == before.swatches
    calicount("export", "blues", "again.zip", *at)
    first, again = in_zip(tmp_path / "blues.zip"), in_zip(tmp_path / "again.zip")
    assert {name: content for name, content in again.items() if name != "bundle.json"} == {
        name: content for name, content in first.items() if name != "bundle.json"
    }


def test_reports_tables_and_pictures_never_carry_it(own, calicount, telling, tmp_path):
    assert calicount("report", "blues", "--pattern", "pinwheel", "--out", "r").exit_code in {0, 3}
    assert calicount("count", "blues", "--out", "c").exit_code == 0
    assert calicount("count", str(telling), "--out", "p").exit_code == 0
    for folder in ("r", "c", "p"):
        written = everything(tmp_path / folder)
        assert len(written) > 10_000
        assert SECRET.encode() not in written
        for path in (tmp_path / folder).glob("*.jpg"):
            with Image.open(path) as image:
                assert not image.getexif()
                assert "comment" not in image.info


def test_a_catalogue_that_may_only_be_read_is_counted_and_exported(
    own, calicount, monkeypatch, tmp_path
):
    """Its count is told, and that it can't be kept; the file stays as it is."""
    monkeypatch.setattr("catalog.catalogue.store.file_identity.may_be_written", lambda _: False)
    before = own.read_bytes()
    for words in (
        ["count", "blues", "--out", "c"],
        ["report", "blues", "--out", "r"],
        ["export", "blues", "x.zip"],
    ):
        ended = calicount(*words)
        assert ended.exit_code == 0, ended.output
        assert ("isn't kept in it" in ended.stderr) == (words[0] != "export")
    assert own.read_bytes() == before
    assert sorted(one.name for one in tmp_path.iterdir()) == ["c", "own.catalogue", "r", "x.zip"]


def test_a_photo_that_cannot_be_taken_apart_is_not_exported(own, calicount, monkeypatch, tmp_path):
    from catalog.photo.metadata import removal

    def stumble(_):
        raise ValueError

    monkeypatch.setattr(removal, "_jpeg", stumble)
    ended = calicount("export", "blues", "blues.zip")
    assert ended.exit_code == 2
    assert "add --with-photo-data" in ended.stderr
    assert not list(tmp_path.glob("*.zip"))
    assert not list(tmp_path.glob(".*.part"))
