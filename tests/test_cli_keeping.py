"""``calicount check-up``, ``export`` and ``import``."""

import json

import pytest
from drawn import looked_at, stand_in

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.store.catalogue_file import default_file


@pytest.fixture
def kept(monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(default_file()) as catalogue:
        bundle = catalogue.add("Blues", None, [looked_at(1, 2, 3)]).kept
        catalogue.do("blues", [say.MarkedSquares([bundle.square("R1C1").id], "cut")])
        yield catalogue


def told(ended, code=0):
    assert ended.exit_code == code, ended.output
    return " ".join(ended.stdout.split())


class TestCheckUp:
    def test_well(self, kept, calicount):
        said = told(calicount("check-up"))
        assert said.startswith("All is well: 1 bundle, 1 photo, 6 squares and 1 note of yours")

    def test_quiet(self, kept, calicount):
        assert told(calicount("check-up", "--quiet")) == ""

    def test_not_well_says_what_to_do(self, kept, calicount):
        kept.connection.execute("update swatches set state = ''")
        ended = calicount("check-up")
        assert told(ended, 2) == ""
        assert "R1C1 is listed wrongly; calicount check-up --mend" in ended.stderr

    def test_many_faults_are_not_all_told(self, kept, calicount):
        for number in range(25):
            kept.connection.execute(
                """insert into photos (bundle_id, number, name, digest, wide, high, cut_off,
                    pixels_per_inch, added_at) values (1, ?, ?, ?, 1, 1, 0, 1, '')""",
                (number + 9, f"{number}.jpg", f"{number:064d}"),
            )
        ended = calicount("check-up")
        assert len(ended.stderr.splitlines()) == 21
        assert "7 more are wrong; --json lists them all" in ended.stderr
        assert len(json.loads(told(calicount("check-up", "--json"), 2))["faults"]) == 27

    def test_mend(self, kept, calicount):
        kept.connection.execute("update swatches set state = ''")
        assert "All is well" in told(calicount("check-up", "--mend"))
        assert kept.bundle("blues").events[0].event.kind == "mark"

    def test_mend_leaves_bundles_whose_photos_are_gone(self, kept, calicount):
        kept.connection.execute("update swatches set state = ''")
        kept.connection.execute("delete from photo_files")
        ended = calicount("check-up", "--mend")
        assert ended.exit_code == 2
        assert "photo 1.jpg is missing; take back a copy" in ended.stderr

    def test_a_copy(self, kept, calicount, tmp_path):
        assert "A copy is in 'copy'" in told(calicount("check-up", "--copy", "copy"))
        with Catalogue(tmp_path / "copy") as copy:
            assert len(copy.lines()) == 1
        ended = calicount("check-up", "--copy", "copy")
        assert ended.exit_code == 2
        assert "add --replace" in ended.stderr
        told(calicount("check-up", "--copy", "copy", "--replace"))

    def test_json(self, kept, calicount):
        read = json.loads(told(calicount("check-up", "--json")))
        assert (read["well"], read["bundles"], read["faults"]) == (True, 1, [])

    def test_nothing_is_kept_and_nothing_is_made(self, calicount):
        ended = calicount("check-up")
        assert ended.exit_code == 2
        assert "nothing is kept at" in ended.stderr
        assert not default_file().exists()

    def test_garbage(self, calicount):
        default_file().parent.mkdir(parents=True)
        default_file().write_bytes(b"Dear sister, " * 400)
        ended = calicount("check-up")
        assert ended.exit_code == 2
        assert "take back a copy of it" in ended.stderr


class TestThereAndBack:
    def test_out_and_in_again(self, kept, calicount):
        before = kept.bundle("blues")
        assert "Blues is in 'blues.zip'" in told(calicount("export", "blues", "blues.zip"))
        kept.remove("blues")
        said = told(calicount("import", "blues.zip"))
        assert "Blues is kept, with 6 squares" in said
        assert kept.bundle("blues").swatches == before.swatches

    def test_under_another_name(self, kept, calicount):
        told(calicount("export", "blues", "b.zip", "--quiet"))
        ended = calicount("import", "b.zip")
        assert ended.exit_code == 2
        assert "there is a bundle Blues already; take it in under another name with --as" in (
            ended.stderr
        )
        read = json.loads(told(calicount("import", "b.zip", "--as", "more blues", "--json")))
        assert read == {"bundle": "more blues", "file": "b.zip", "squares": 6}

    def test_never_over_a_file_unasked(self, kept, calicount, tmp_path):
        (tmp_path / "b.zip").write_text("mine", encoding="utf-8")
        ended = calicount("export", "blues", "b.zip")
        assert ended.exit_code == 2
        assert "'b.zip' is there already" in ended.stderr
        assert (tmp_path / "b.zip").read_text(encoding="utf-8") == "mine"
        told(calicount("export", "blues", "b.zip", "--replace"))

    @pytest.mark.parametrize(
        ("words", "said"),
        [
            (["export", "reds", "r.zip"], "no bundle is called 'reds'"),
            (["export", "blues", "none/r.zip"], "can't be written"),
            (["import", "none.zip"], "'none.zip' can't be read"),
            (["import", "."], "is no file; name an exported bundle"),
        ],
    )
    def test_mistakes_are_one_sentence(self, kept, calicount, words, said):
        ended = calicount(*words)
        assert ended.exit_code == 2
        assert said in ended.stderr
        assert ended.stderr.count("\n") == 1


def test_a_bundle_of_real_photos_there_and_back(kept_file, calicount):
    told(calicount("export", "both halves", "halves.zip"))
    told(calicount("import", "halves.zip", "--as", "again"))
    told(calicount("check-up"))
    with Catalogue(kept_file) as kept:
        old, new = kept.bundle("both halves"), kept.bundle("again")
        assert new.swatches == old.swatches
        assert kept.crops(new) == kept.crops(old)
        white = [say.WhiteSquare(new.square("R1C1").id)]
        told_there = kept.do("again", white).swatches
        told_here = kept.do("both halves", [say.WhiteSquare(old.square("R1C1").id)]).swatches
        assert told_there == told_here
