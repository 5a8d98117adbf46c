"""Bundles that stay: adding, correcting, undoing, and several who do so at once."""

import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from drawn import corners_at, looked_at, measured, photo_file, stand_in
from waiting import LONG

from catalog import analysis
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.records import StandingRules
from catalog.catalogue.store.integrity import check_up
from catalog.errors import CatalogueError, NoSquaresError, PhotoError, StaleError
from catalog.models import Found

TESTS = Path(__file__).parent


@pytest.fixture
def kept(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(tmp_path / "kept.catalogue") as catalogue:
        catalogue.add("Scraps", None, [looked_at(1, loose=1)])
        yield catalogue
        assert check_up(catalogue.connection).faults == ()


def numbers(kept, *labels):
    return [kept.bundle("scraps").square(label).id for label in labels]


def labels(bundle):
    return [one.label for one in bundle.swatches]


def same(one, other):
    """Whether two bundles are alike, signatures too."""
    return one.swatches == other.swatches and all(
        (a.signature == b.signature).all()
        for a, b in zip(one.swatches, other.swatches, strict=True)
    )


class TestAdding:
    def test_a_bundle_is_found_in_any_case_and_spacing(self, kept):
        assert kept.bundle("  sCRAPS ").name == "Scraps"

    def test_the_same_photo_under_another_name_is_known(self, kept):
        looked, content = looked_at(1, loose=1)
        result = kept.add("scraps", None, [(replace(looked, name="again.jpg"), content)])
        assert result.known == ("again.jpg",)
        assert len(result.kept.photos) == 1

    def test_the_same_photo_twice_at_once(self, kept):
        result = kept.add("more", None, [looked_at(5), looked_at(5)])
        assert (len(result.added), len(result.known)) == (1, 1)

    def test_another_photo_counts_rows_and_loose_squares_on(self, kept):
        result = kept.add("scraps", None, [looked_at(2, 1, 2, loose=1)])
        assert labels(result.kept)[-3:] == ["R3C1", "R3C2", "S002"]

    def test_rows_that_a_person_gave_are_counted_too(self, kept):
        kept.do("scraps", [say.PlacedSquare(*numbers(kept, "S001"), 3, 1)])
        result = kept.add("scraps", None, [looked_at(2, 1, 2)])
        assert labels(result.kept)[-3:] == ["R3C1", "R4C1", "R4C2"]

    def test_numbers_and_corrections_stay_when_a_photo_is_added(self, kept):
        (one,) = numbers(kept, "R1C2")
        before = kept.do(
            "scraps", [say.MarkedSquares([one], "damaged"), say.NamedSquares.of([one], "roses")]
        )
        after = kept.add("scraps", None, [looked_at(2)]).kept
        assert labels(after)[: len(before.swatches)] == labels(before)
        assert after.square("R1C2").marks == ("damaged",)
        assert after.square("R1C2").said == "roses"

    def test_a_photo_without_squares_is_not_kept(self, kept):
        looked, content = looked_at(3)
        empty = replace(looked, found=Found((), 0.0), swatches=(), crops=())
        with pytest.raises(NoSquaresError, match=r"photo 3\.jpg"):
            kept.add("new", None, [(empty, content)])
        assert [line.name for line in kept.lines()] == ["Scraps"]

    def test_squares_of_another_size_are_refused(self, kept):
        with pytest.raises(CatalogueError, match="measure 5 in"):
            kept.add("scraps", Fraction(10), [looked_at(2)])

    def test_squares_of_another_kind_are_kept_with_what_they_measure(self, kept):
        looked, content = looked_at(2)
        added = kept.add("scraps", Fraction(10), [(looked, content)], another_kind=True)
        assert added.kept.side == 5
        said = {one.square.said_in for one in added.kept.swatches}
        assert said == {0.0, 10.0}
        again = {one.square.said_in for one in kept.bundle("scraps").swatches}
        assert again == said
        new = kept.add("tens", Fraction(10), [looked_at(4)], another_kind=True).kept
        assert (new.side, {one.square.said_in for one in new.swatches}) == (10, {0.0})

    @pytest.mark.parametrize("name", ["", "   ", "x" * 81, "\x1b\n", "-blues"])
    def test_a_name_that_cannot_be_kept_is_refused(self, kept, name):
        with pytest.raises(CatalogueError, match="can't be called"):
            kept.add(name, None, [looked_at(2)])

    def test_the_photos_own_bytes_are_kept(self, kept):
        assert kept.content(kept.bundle("scraps").photos[0].id) == photo_file(1)

    def test_a_photo_that_lies_on_the_disk_is_kept_as_it_was_looked_at(self, kept, tmp_path):
        looked, content = looked_at(2)
        place = tmp_path / "photo 2.jpg"
        place.write_bytes(content)
        more = kept.add("scraps", None, [(looked, place)]).kept
        assert kept.content(more.photos[-1].id) == content

    def test_a_photo_changed_since_it_was_looked_at_is_refused_and_nothing_added(
        self, kept, tmp_path
    ):
        before = kept.bundle("scraps")
        looked, content = looked_at(2)
        place = tmp_path / "photo 2.jpg"
        place.write_bytes(content + b"more")
        with pytest.raises(PhotoError, match="was changed while it was looked at"):
            kept.add("scraps", None, [looked_at(3), (looked, place)])
        place.unlink()
        with pytest.raises(PhotoError, match="there is no photo"):
            kept.add("scraps", None, [looked_at(3), (looked, place)])
        assert same(before, kept.bundle("scraps"))


class TestUndoing:
    def deeds(self, kept):
        a, b, c, d, e = numbers(kept, "R1C1", "R1C2", "R1C3", "R2C1", "S001")
        photo = kept.bundle("scraps").photos[0].id
        return [
            [say.NotASquare([a])],
            [say.MissedSquare.of(photo, corners_at(900, 900), 3, 1)],
            [say.MovedCorners.of(b, corners_at(200, 130, 90))],
            [say.PlacedSquare(e, 2, 2)],
            [say.OneFabric.of([b, c])],
            [say.OwnFabric([c])],
            [say.NamedSquares.of([b], "roses"), say.SquaresRole([c], "background")],
            [say.MarkedSquares([d], "cut")],
            [say.SamePiece([b, c])],
            [say.WhiteSquare(d)],
            [say.PhotoGround(photo, "wood")],
            [StandingRules(set_size=3, families=2)],
            [say.DroppedPhoto(photo)],
            [say.ReservedSets.of("Runner", [[b, e]]), say.ProjectStage.of("Runner", [b], "sewn")],
        ]

    def test_what_was_done_at_once_is_undone_at_once_and_gives_back_exactly_what_was(self, kept):
        before = kept.bundle("scraps")
        for deeds in self.deeds(kept):
            kept.do("scraps", deeds)
            assert same(before, kept.undo("scraps")), deeds

    def test_all_done_then_all_undone_then_all_redone(self, kept):
        first = kept.bundle("scraps")
        courses = self.deeds(kept)
        for deeds in courses:
            last = kept.do("scraps", deeds)
        for _ in courses:
            undone = kept.undo("scraps")
        assert same(first, undone)
        with pytest.raises(CatalogueError, match="nothing to undo"):
            kept.undo("scraps")
        while any(one.undone for one in kept.bundle("scraps").events):
            redone = kept.redo("scraps")
        assert same(last, redone)
        with pytest.raises(CatalogueError, match="nothing to do again"):
            kept.redo("scraps")

    def test_one_of_several_by_its_number(self, kept):
        a, b = numbers(kept, "R1C1", "R1C2")
        kept.do("scraps", [say.MarkedSquares([a], "cut"), say.MarkedSquares([b], "cut")])
        assert kept.undo("scraps", 1).square("R1C1").free
        assert not kept.bundle("scraps").square("R1C2").free
        with pytest.raises(CatalogueError, match="is taken back already"):
            kept.undo("scraps", 1)
        assert not kept.redo("scraps", 1).square("R1C1").free
        with pytest.raises(CatalogueError, match="holds as it is"):
            kept.redo("scraps", 1)
        with pytest.raises(CatalogueError, match="no number 9"):
            kept.undo("scraps", 9)

    def test_what_was_undone_before_something_else_was_done_is_not_redone_unasked(self, kept):
        a, b = numbers(kept, "R1C1", "R1C2")
        kept.do("scraps", [say.MarkedSquares([a], "cut")])
        kept.undo("scraps")
        kept.do("scraps", [say.MarkedSquares([b], "cut")])
        with pytest.raises(CatalogueError, match="nothing to do again"):
            kept.redo("scraps")

    def test_a_photo_that_comes_back_has_its_colours(self, kept):
        two = kept.add("scraps", None, [looked_at(2)]).kept
        kept.do("scraps", [say.DroppedPhoto(two.photos[0].id)])
        assert same(kept.undo("scraps"), two)


class TestVersions:
    def test_who_saw_an_older_version_is_told(self, kept):
        (one,) = numbers(kept, "R1C1")
        seen = kept.bundle("scraps").version
        kept.do("scraps", [say.MarkedSquares([one], "cut")], seen_version=seen)
        with pytest.raises(StaleError, match="changed elsewhere"):
            kept.do("scraps", [say.MarkedSquares([one], "cut", on=False)], seen_version=seen)

    def test_several_deeds_are_all_done_or_none(self, kept):
        (one,) = numbers(kept, "R1C1")
        before = kept.bundle("scraps")
        with pytest.raises(KeyError):
            kept.do("scraps", [say.MarkedSquares([one], "cut"), say.UnknownEvent("dye", {})])
        assert kept.bundle("scraps").version == before.version
        assert kept.bundle("scraps").events == ()


class TestRemoving:
    def test_nothing_is_left_of_it(self, kept):
        kept.add("other", None, [looked_at(7)])
        kept.do("other", [say.MarkedSquares([kept.bundle("other").square("R1C1").id], "cut")])
        kept.remove("other")
        sql = kept.connection
        tables = [
            row[0] for row in sql.execute("select name from sqlite_schema where type='table'")
        ]
        left = {name: sql.execute(f"select count(*) from {name}").fetchone()[0] for name in tables}
        assert (left["bundles"], left["photos"], left["photo_files"]) == (1, 1, 1)
        assert left["squares"] == left["swatches"] == left["crops"] == 7
        with pytest.raises(CatalogueError, match="no bundle is called 'other'"):
            kept.bundle("other")

    def test_a_count_of_a_bundle_that_was_removed_meanwhile(self, kept):
        bundle = kept.add("other", None, [looked_at(7)]).kept
        kept.remove("other")
        head = {"title": "t", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
        with pytest.raises(CatalogueError, match="has been removed"):
            kept.keep_count(bundle, head, [])

    def test_renamed_to_a_name_that_is_taken(self, kept):
        kept.add("other", None, [looked_at(7)])
        with pytest.raises(CatalogueError, match="there is a bundle SCRAPS already"):
            kept.rename("other", "SCRAPS")
        kept.rename("other", "OTHER")
        assert kept.bundle("other").name == "OTHER"

    def test_a_name_nearly_right_is_offered(self, kept):
        with pytest.raises(CatalogueError, match="perhaps you mean Scraps"):
            kept.bundle("scrabs")


BUSY = """
import sys
sys.path[:0] = [{tests!r}, {root!r}]
from pathlib import Path
from drawn import looked_at, stand_in
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.errors import CatalogueError
stand_in()
with Catalogue(Path(sys.argv[1])) as kept:
    print("ready", flush=True)
    sys.stdin.readline()
    for place in range({times}):
        while True:
            try:
                {change}
                break
            except CatalogueError as error:
                if "keep changing" not in str(error):
                    raise
"""


NAME = 'kept.do("scraps", [say.NamedSquares.of([1], f"{sys.argv[2]} {place}")])'
ADD = 'for name in ("scraps", "elsewhere"): kept.add(name, None, [looked_at(place + 50, 1, 2)])'


def busy(path, who, times, change=NAME):
    code = BUSY.format(tests=str(TESTS), root=str(TESTS.parent), times=times, change=change)
    return subprocess.Popen(
        [sys.executable, "-c", code, str(path), who],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        encoding="utf-8",
    )


def all_done(workers):
    """Let workers begin together, and wait until all have ended well."""
    for one in workers:
        assert one.stdout.readline().strip() == "ready"
    for one in workers:
        one.stdin.write("\n")
        one.stdin.flush()
    for one in workers:
        one.communicate(timeout=LONG)
    assert [one.returncode for one in workers] == [0] * len(workers)


def test_several_at_once_lose_nothing(kept):
    """Two say fifty things each, and one adds photos to the same bundle and to another."""
    all_done(
        [
            *(busy(kept.path, who, 50) for who in ("first", "second")),
            busy(kept.path, "third", 3, ADD),
        ]
    )
    bundle = kept.bundle("scraps")
    assert {one.event.text for one in bundle.events} == {
        f"{who} {place}" for who in ("first", "second") for place in range(50)
    }
    assert len(bundle.events) == 100
    assert len(bundle.photos) == 4
    assert bundle.version == 2 + 100 + 3
    assert len({one.made for one in bundle.events}) == 100
    assert len(bundle.swatches) == 7 + 3 * 2
    assert len(kept.bundle("elsewhere").swatches) == 3 * 2


def test_a_number_is_never_given_again(kept):
    first = kept.add("other", None, [looked_at(7)]).kept
    kept.remove("other")
    again = kept.add("other", None, [looked_at(7)]).kept
    assert again.id > first.id
    assert not {one.id for one in again.by_label.values()} & {
        one.id for one in first.by_label.values()
    }


def test_a_new_catalogue_opened_by_several_at_once(tmp_path):
    code = f"""
import sys
sys.path[:0] = [{str(TESTS.parent)!r}]
from pathlib import Path
from catalog.catalogue.store.catalogue_file import connect
print("ready", flush=True)
sys.stdin.readline()
connect(Path(sys.argv[1])).close()
"""
    for attempt in range(3):
        path = tmp_path / str(attempt) / "kept.catalogue"
        all_done(
            [
                subprocess.Popen(
                    [sys.executable, "-c", code, str(path)],
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    encoding="utf-8",
                )
                for _ in range(4)
            ]
        )


def test_crops_belong_to_their_squares_whatever_those_are_called_by_now(kept):
    before = kept.bundle("scraps")
    crops = kept.crops(before)
    (one,) = numbers(kept, "R1C1")
    kept.do("scraps", [say.PlacedSquare(one, 1, 2)])
    assert kept.crops(before) == crops
    assert kept.crops(kept.bundle("scraps"))["R1C2"] == crops["R1C1"]


def test_a_name_is_the_same_however_its_accents_are_written(kept):
    kept.rename("scraps", "Blu\u0308ten")
    assert kept.bundle("Bl\u00fcten").name == "Bl\u00fcten"


def test_photos_are_measured_again_by_as_many_processes_as_are_allowed(kept, monkeypatch):
    asked = []

    def together(looked, _, jobs):
        asked.append(jobs)
        return tuple(looked)

    monkeypatch.setattr(analysis, "with_joined_lights", together)
    kept.add("scraps", None, [looked_at(2)], jobs=3)
    kept.add("more scraps", None, [looked_at(2)])
    assert asked == [3, 1]


def test_a_photo_without_squares_keeps_its_light_for_those_that_come_back(kept, monkeypatch):
    def measured_or_nothing(content, name, found, light, hints):
        told = measured(content, name, found, light, hints)
        return told if found.squares else replace(told, light=None)

    def together(looked, _, **__):
        return tuple(replace(one, light=replace(one.light, evidence="together")) for one in looked)

    monkeypatch.setattr(analysis, "remeasure_photo", measured_or_nothing)
    monkeypatch.setattr(analysis, "with_joined_lights", together)
    before = kept.add("scraps", None, [looked_at(2)]).kept
    own = [one.id for one in before.by_label.values() if one.photo == before.photos[1].id]
    kept.do("scraps", [say.NotASquare(own)])
    after = kept.undo("scraps")
    assert [one.evidence for one in after.photos] == ["together"] * 2
    assert same(before, after)
