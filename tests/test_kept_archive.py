"""A bundle taken elsewhere and in again: exactly as it was, and nothing of an archive trusted."""

import base64
import io
import json
import math
import re
import shutil
import stat
import tracemalloc
import zipfile
from pathlib import Path

import hostile
import numpy as np
import pytest
from drawn import corners_at, looked_at, stand_in
from PIL import Image

from catalog.bundle.print_likeness import LOOK_TERMS, PRINT_TERMS
from catalog.catalogue.archive import archive_file, archive_index
from catalog.catalogue.archive.archive_import import import_bundle
from catalog.catalogue.archive.archive_index import INDEX, VERSION
from catalog.catalogue.archive.bundle_archive import export_bundle
from catalog.catalogue.archive.validation import is_signature
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.records import StandingRules
from catalog.catalogue.store.integrity import check_up
from catalog.errors import CatalogueError, OutputError


@pytest.fixture(scope="module")
def full(tmp_path_factory):
    """A catalogue and an archive of its bundle.

    Its numbers of squares and photos are not those that a fresh catalogue gives.
    """
    folder = tmp_path_factory.mktemp("full")
    path = folder / "kept.catalogue"
    with pytest.MonkeyPatch.context() as patch, Catalogue(path) as catalogue:
        stand_in(patch.setattr)
        catalogue.add("Other", None, [looked_at(9)])
        fill(catalogue)
        export_bundle(catalogue.connection, "scraps", folder / "scraps.zip")
    return folder


@pytest.fixture
def kept(full, tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    shutil.copy(full / "kept.catalogue", tmp_path)
    with Catalogue(tmp_path / "kept.catalogue") as catalogue:
        yield catalogue


@pytest.fixture
def elsewhere(tmp_path):
    with Catalogue(tmp_path / "elsewhere.catalogue") as catalogue:
        yield catalogue


def fill(catalogue):
    """Keep a bundle about which everything has been said that can be."""
    bundle = catalogue.add("Scraps", None, [looked_at(1, loose=1), looked_at(2, 2, 3)]).kept
    a, b, c, d, e, f, g, h = [one.id for one in bundle.by_label.values()][:8]
    one, two = (photo.id for photo in bundle.photos)
    for deeds in (
        [say.NotASquare([a])],
        [say.MissedSquare.of(one, corners_at(900, 900), 9, 1)],
        [say.MovedCorners.of(b, corners_at(240, 120, 91)), say.PlacedSquare(b, 8, 8)],
        [say.OneFabric.of([b, c]), say.OwnFabric([d]), say.NamedSquares.of([c], "Grüße, “roses”")],
        [
            say.SquaresRole([c], "background"),
            say.MarkedSquares([d], "cut"),
            say.SamePiece([e, h]),
        ],
        [
            say.WhiteSquare(f),
            say.GreySquare(g),
            say.PhotoGround(two, "wood"),
            StandingRules(families=3),
        ],
        [
            say.LockedSets([[b, c]]),
            say.ForbiddenPairs([(c, g)]),
            say.SetTakenApart.of([f, g, c]),
        ],
        [
            say.ReservedSets.of("Runner", [[e, f]], "runner.toml"),
            say.ProjectStage.of("Runner", [e], "sewn"),
        ],
        [say.ExchangedBlocks("x|2x2|rows", ("A1", "B2"), ((e,), (f,)))],
    ):
        bundle = catalogue.do("scraps", deeds)
    catalogue.undo("scraps", 4)
    catalogue.undo("scraps")
    head = {
        "title": "Pairs",
        "pattern": "",
        "rules": '{"size": 2}',
        "tally": '[{"need": "x"}]',
        "enough": 1,
    }
    catalogue.keep_count(bundle, head, [(1, "", 2.5, 10.0, "reds", '["could change"]', (b, c))])


def packed(path, changes=None, *, add=(), leave_out=()):
    """Write an archive again with its index or files changed."""
    target = path.with_name("changed.zip")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w") as new:
        for one in old.infolist():
            content = old.read(one)
            if one.filename == "bundle.json" and changes is not None:
                index = json.loads(content)
                content = changes(index) or json.dumps(index)
            if one.filename not in leave_out:
                new.writestr(one.filename, content)
        for name, content in add:
            new.writestr(name, content)
    return target


@pytest.fixture
def archive(full, tmp_path):
    return Path(shutil.copy(full / "scraps.zip", tmp_path))


def refused(catalogue, path):
    """Return the one sentence with which an archive is refused; nothing is kept of it."""
    with pytest.raises(CatalogueError) as error:
        import_bundle(catalogue.connection, path)
    assert catalogue.lines() == ()
    assert not catalogue.connection.in_transaction
    text = str(error.value)
    assert text.endswith(".")
    assert "\n" not in text
    return text


class TestThereAndBack:
    def test_all_is_as_it_was(self, kept, archive, elsewhere):
        assert import_bundle(elsewhere.connection, archive) == "Scraps"
        old, new = kept.bundle("scraps"), elsewhere.bundle("scraps")
        assert new.swatches == old.swatches
        assert (new.version, new.side, new.added_at) == (old.version, old.side, old.added_at)
        assert [(d.event.kind, d.at, d.made, d.undone) for d in new.events] == [
            (d.event.kind, d.at, d.made, d.undone) for d in old.events
        ]
        assert new.state.notes == old.state.notes
        assert list(kept.crops(old).values()) == list(elsewhere.crops(new).values())
        assert [elsewhere.content(p.id) for p in new.photos] == [
            kept.content(p.id) for p in old.photos
        ]
        assert check_up(elsewhere.connection).faults == ()

    def test_exported_again_it_is_the_same_file(self, archive, elsewhere, tmp_path):
        import_bundle(elsewhere.connection, archive)
        again = tmp_path / "again.zip"
        export_bundle(elsewhere.connection, "scraps", again)
        assert again.read_bytes() == archive.read_bytes()

    def test_history_goes_on_where_it_was(self, kept, archive, elsewhere):
        import_bundle(elsewhere.connection, archive)
        told = []
        there = elsewhere.redo("scraps")
        here = kept.redo("scraps")
        while any(not one.undone for one in there.events):
            there, here = elsewhere.undo("scraps", tell=told.append), kept.undo("scraps")
            assert there.swatches == here.swatches

    def test_nothing_is_measured_again_because_of_it(self, archive, elsewhere):
        import_bundle(elsewhere.connection, archive)
        told = []
        elsewhere.do("scraps", [], tell=told.append)
        assert told == []

    def test_under_another_name_beside_the_first(self, kept, archive):
        import_bundle(kept.connection, archive, "  Scraps   again ")
        assert [line.name for line in kept.lines()] == ["Other", "Scraps", "Scraps again"]
        assert check_up(kept.connection).faults == ()

    def test_a_name_that_is_taken_is_not_written_over(self, kept, archive):
        before = kept.bundle("scraps").version
        with pytest.raises(CatalogueError, match="another name with --as"):
            import_bundle(kept.connection, archive)
        assert kept.bundle("scraps").version == before

    def test_photos_lie_in_it_as_they_were(self, kept, archive):
        with zipfile.ZipFile(archive) as read:
            assert read.read("photos/001.jpg") == kept.content(kept.bundle("scraps").photos[0].id)


class TestWriting:
    def test_never_over_a_file_unasked(self, kept, archive):
        archive.write_text("mine", encoding="utf-8")
        with pytest.raises(OutputError, match="--replace"):
            export_bundle(kept.connection, "scraps", archive)
        assert archive.read_text(encoding="utf-8") == "mine"
        export_bundle(kept.connection, "scraps", archive, over=True)
        assert zipfile.is_zipfile(archive)

    def test_nothing_is_left_of_one_that_fails(self, kept, tmp_path):
        kept.connection.execute("delete from photo_files")
        with pytest.raises(CatalogueError, match="check-up"):
            export_bundle(kept.connection, "scraps", tmp_path / "x.zip")
        assert [one.name for one in tmp_path.iterdir() if ".zip" in one.name] == []

    def test_a_folder_that_is_not_there(self, kept, tmp_path):
        with pytest.raises(OutputError, match="can't be written"):
            export_bundle(kept.connection, "scraps", tmp_path / "out" / "x.zip")

    def test_a_bundle_that_is_not_there(self, kept, tmp_path):
        with pytest.raises(CatalogueError, match="no bundle is called"):
            export_bundle(kept.connection, "scrubs", tmp_path / "x.zip")
        assert not (tmp_path / "x.zip").exists()


class TestNotTrusted:
    @pytest.mark.parametrize(
        "name",
        ["../evil.jpg", "photos/../../evil.jpg", "/etc/evil", "C:/evil.jpg", "photos\\evil.jpg",
         "..\\evil.jpg", "//server/evil"],
    )  # fmt: skip
    def test_names_that_climb_out(self, archive, elsewhere, name):
        path = packed(archive, add=[(name, b"x")])
        assert "would lie outside its folder" in refused(elsewhere, path)

    @pytest.mark.parametrize("name", ["run.exe", "photos/x.jpg", "photos/001.jpg/a", "BUNDLE.JSON"])
    def test_names_that_do_not_belong(self, archive, elsewhere, name):
        assert "doesn't belong into it" in refused(elsewhere, packed(archive, add=[(name, b"x")]))

    def test_a_link(self, archive, elsewhere):
        link = zipfile.ZipInfo("photos/777.jpg")
        link.create_system = 3
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        path = packed(archive)
        with zipfile.ZipFile(path, "a") as more:
            more.writestr(link, "/etc/passwd")
        assert "is a link" in refused(elsewhere, path)

    @pytest.mark.filterwarnings("ignore:Duplicate name")
    def test_a_file_twice(self, archive, elsewhere):
        assert "twice" in refused(elsewhere, packed(archive, add=[("bundle.json", b"{}")]))

    def test_a_file_that_belongs_to_nothing(self, archive, elsewhere):
        path = packed(archive, add=[("photos/099.jpg", b"x")])
        assert "belongs to nothing" in refused(elsewhere, path)

    def test_a_bomb(self, archive, elsewhere, monkeypatch):
        monkeypatch.setattr(archive_file, "MAX_UNPACKED_BYTES", 10_000)
        assert "more than any bundle" in refused(elsewhere, archive)

    def test_a_large_index(self, archive, elsewhere, monkeypatch):
        monkeypatch.setattr(archive_file, "MAX_INDEX_BYTES", 1000)
        assert "too large" in refused(elsewhere, archive)

    def test_a_file_larger_than_its_entry_says(self, archive, elsewhere):
        path = packed(archive, add=[("photos/099.jpg", bytes(5000))])
        content = path.read_bytes()
        at = content.rindex(b"photos/099.jpg") - 46
        assert content[at : at + 4] == b"PK\x01\x02"
        small = (5).to_bytes(4, "little")
        path.write_bytes(content[: at + 20] + small * 2 + content[at + 28 :])
        refused(elsewhere, path)

    def test_a_file_that_unpacks_to_more_than_its_entry_says(self, archive, elsewhere):
        path, much = archive.with_name("changed.zip"), 300 << 20
        with (
            zipfile.ZipFile(archive) as old,
            zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new,
        ):
            for one in old.infolist():
                new.writestr(one.filename, bytes(much) if one.filename == INDEX else old.read(one))
        content = path.read_bytes()
        at = content.index(INDEX.encode(), content.index(b"PK\x01\x02")) - 46
        told = (1000).to_bytes(4, "little")
        path.write_bytes(content[: at + 24] + told + content[at + 28 :])
        tracemalloc.start()
        refused(elsewhere, path)
        _, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert most < much / 10

    def test_names_that_are_no_text(self, archive, elsewhere):
        content = bytearray(packed(archive, add=[("photos/é.jpg", b"x")]).read_bytes())
        for found in re.finditer(b"photos/\xc3\xa9", bytes(content)):
            content[found.end() - 1] = 0x28
        archive.write_bytes(content)
        assert "damaged" in refused(elsewhere, archive)

    def test_a_picture_of_more_than_a_square(self, archive, elsewhere):
        big = io.BytesIO()
        Image.new("L", (2000, 2000)).save(big, "JPEG", quality=1)
        path = packed(
            archive, leave_out=["crops/0001.jpg"], add=[("crops/0001.jpg", big.getvalue())]
        )
        assert "picture of R1C1 is none" in refused(elsewhere, path)

    def test_an_index_that_holds_more_than_any(self, archive, elsewhere, monkeypatch):
        monkeypatch.setattr(archive_index, "MAX_INDEX_MEMORY", 1000)
        assert "holds more than any bundle" in refused(elsewhere, archive)

    def test_a_picture_in_several_scans(self, archive, elsewhere):
        scans = ("crops/0001.jpg", hostile.scans(50, side=64))
        path = packed(archive, leave_out=["crops/0001.jpg"], add=[scans])
        assert "picture of R1C1 is none" in refused(elsewhere, path)

    def test_files_that_shrink_as_no_photo_does(self, archive, elsewhere):
        with zipfile.ZipFile(archive, "a", zipfile.ZIP_DEFLATED) as kept:
            kept.writestr("photos/099.jpg", bytes(150 * archive.stat().st_size))
        assert "more than any bundle" in refused(elsewhere, archive)

    def test_a_light_in_which_nothing_can_be_measured(self, archive, elsewhere):
        with (
            zipfile.ZipFile(archive) as whole,
            np.load(io.BytesIO(whole.read("lights/001.npz"))) as light,
        ):
            arrays = dict(light)
        content = io.BytesIO()
        np.savez(content, **(arrays | {"field": np.ones((2, 2), np.float32)}))
        path = packed(
            archive, leave_out=["lights/001.npz"], add=[("lights/001.npz", content.getvalue())]
        )
        assert "light" in refused(elsewhere, path)

    def test_a_password(self, archive, elsewhere):
        content = bytearray(archive.read_bytes())
        at = content.rindex(b"bundle.json") - 46
        content[at + 8] |= 1
        archive.write_bytes(content)
        assert "password" in refused(elsewhere, archive)

    @pytest.mark.parametrize("part", [0.2, 0.5, 0.9, 0.999])
    def test_cut_short(self, archive, elsewhere, part):
        content = archive.read_bytes()
        archive.write_bytes(content[: int(len(content) * part)])
        assert "damaged" in refused(elsewhere, archive)

    @pytest.mark.parametrize("content", [b"", b"a letter", b"PK\x05\x06" + bytes(18)])
    def test_no_bundle_at_all(self, elsewhere, tmp_path, content):
        path = tmp_path / "letter.zip"
        path.write_bytes(content)
        assert "'letter.zip' can't be taken in" in refused(elsewhere, path)

    def test_not_there(self, elsewhere, tmp_path):
        assert "can't be read" in refused(elsewhere, tmp_path / "none.zip")

    def test_a_photo_that_is_not_as_it_was(self, archive, elsewhere):
        path = packed(archive, leave_out=["photos/002.jpg"], add=[("photos/002.jpg", b"x")])
        assert "is not as it was" in refused(elsewhere, path)

    @pytest.mark.parametrize("name", ["photos/001.jpg", "crops/0003.jpg", "lights/001.npz"])
    def test_a_part_that_is_missing(self, archive, elsewhere, name):
        assert f"'{name}' is missing" in refused(elsewhere, packed(archive, leave_out=[name]))

    @pytest.mark.parametrize(
        ("version", "said"), [(VERSION + 1, "newer calicount"), ("1", "newer"), (None, "newer")]
    )
    def test_a_newer_format(self, archive, elsewhere, version, said):
        path = packed(archive, lambda index: index.update(version=version))
        assert said in refused(elsewhere, path)

    @pytest.mark.parametrize("digest", ["", "f" * 64, "x", 7, None])
    def test_a_digest_of_its_own_is_one_and_is_right(self, archive, elsewhere, digest):
        def put(index):
            index["photos"][0]["file_digest"] = digest

        if digest == "":
            import_bundle(elsewhere.connection, packed(archive, put))
        else:
            refused(elsewhere, packed(archive, put))


def test_an_older_format_is_taken_in(archive, elsewhere):
    """There photos were always as they came, and nothing was said of that."""

    def older(index):
        index["version"] = 1
        for photo in index["photos"]:
            del photo["file_digest"]
        for swatch in index["swatches"]:
            del swatch["print"]

    assert import_bundle(elsewhere.connection, packed(archive, older)) == "Scraps"
    assert check_up(elsewhere.connection).faults == ()
    taken = elsewhere.bundle("Scraps").swatches
    assert {(one.palette, one.palette_at_wall, one.look) for one in taken} == {((), (), None)}


@pytest.mark.parametrize(
    "strange",
    [
        {"palette": [], "palette_at_wall": []},
        {"palette": [[50, 0, 0, 2, False]], "palette_at_wall": [], "look": None},
        {"palette": [[50, 0, 0, 1, True]] * 17, "palette_at_wall": [], "look": None},
        "plain",
    ],
)
def test_a_print_that_calicount_never_wrote(archive, elsewhere, strange):
    def other(index):
        index["swatches"][0]["print"] = strange

    refused(elsewhere, packed(archive, other))


def put(*keys, value):
    """Return a change that puts a value somewhere into the index."""

    def change(index):
        place = index
        for key in keys[:-1]:
            place = place[key]
        place[keys[-1]] = value

    return change


@pytest.mark.parametrize(
    "change",
    [
        lambda index: index.clear(),
        lambda index: "[1, 2",
        lambda index: "[" * 100_000,
        put("photos", 0, "unevenness", value=math.nan),
        put("photos", 0, "unevenness", value=math.inf),
        lambda index: json.dumps(index).replace("1.1", "1e999"),
        lambda index: index.update(deeds=None),
        put("extra", value=1),
        put("bundle", "side", value="1/0"),
        put("bundle", "side", value="-5"),
        put("bundle", "side", value="1e999999999"),
        put("bundle", "version", value="9"),
        put("bundle", "version", value=-1),
        put("photos", 1, "name", value="photo 1.jpg"),
        put("photos", 0, "digest", value="x" * 64),
        put("photos", 0, "file", value="crops/0001.jpg"),
        put("photos", 0, "file", value="../../x"),
        put("photos", 1, "number", value=1),
        put("photos", 0, "light", value=None),
        put("squares", 0, "label", value="R0C1"),
        put("squares", 0, "label", value="R1C2"),
        put("squares", 0, "photo", value=7),
        put("squares", 0, "seen", value=None),
        put("squares", 0, "seen", "corners", value=[[0, 0]] * 3),
        put("squares", 0, "seen", "corners", 0, 0, value=1e300),
        put("squares", 0, "seen", "confidence", value=7),
        put("squares", 0, "crop", value=None),
        put("deeds", 0, "kind", value="dye"),
        lambda index: next(
            one["args"].update(lightness_weight=0)
            for one in index["deeds"]
            if one["kind"] == "rules"
        ),
        put("deeds", 0, "number", value=2),
        put("deeds", 0, "args", value={"squares": "all"}),
        put("deeds", 0, "args", value={"squares": [99]}),
        put("deeds", 1, "args", "corners", value=[[0, 0]] * 4),
        put("swatches", 0, "label", value="R7C7"),
        put("swatches", 0, "square", value=3),
        put("swatches", 0, "lightness", value="dark"),
        put("swatches", 0, "signature", value="???"),
        put("swatches", 0, "signature", value="AAA="),
        put("swatches", 0, "signature", value="AAAA"),
        put("swatches", 0, "signature", value=base64.b64encode(b"\xff" * 916).decode()),
        put("swatches", 0, "state", value="sewn for nobody"),
        put("counts", 0, "sets", 0, "squares", value=[99]),
        put("counts", 0, "rules", value="x"),
    ],
)
def test_an_index_that_is_not_as_calicount_writes_it(archive, elsewhere, change):
    path = packed(archive, change)
    assert "can't be taken in" in refused(elsewhere, path)


def test_control_letters_do_not_come_in(archive, elsewhere):
    path = packed(archive, put("photos", 0, "name", value="a\x1b[31mred\u202e.jpg"))
    import_bundle(elsewhere.connection, path)
    assert elsewhere.bundle("scraps").photos[0].name == "a [31mred .jpg"


def test_a_signature_may_have_no_look_as_older_versions_wrote_it():
    numbers = np.ones(PRINT_TERMS + LOOK_TERMS, np.float32)
    assert is_signature(numbers.tobytes())
    assert is_signature(numbers[:PRINT_TERMS].tobytes())
    assert not is_signature(numbers[:-1].tobytes())
    assert not is_signature((numbers * np.nan).tobytes())
