"""Doubts that end: what is right as found is kept so, and few things are asked, each once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from drawn import corners_at, looked_at, stand_in
from page_server import served

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.doubts.doubt_queue import doubt_queue
from catalog.catalogue.events import event_kinds as say
from catalog.report.pictures.outlines import is_doubtful
from catalog.report.tables.csv_tables import joined_flags, look_again


def flagged(seed, flags, *, covered=(), rows=3, cols=4):
    """A photo whose squares have flags, by their place; some are seen to be covered."""
    looked, content = looked_at(seed, rows, cols)
    squares = [
        replace(one, flags=flags.get(at, ()), confidence=0.9)
        for at, one in enumerate(looked.found.squares)
    ]
    seen_so = [
        (*one.flags, *["partly covered"] * (at in covered)) for at, one in enumerate(squares)
    ]
    swatches = [
        replace(one, square=square, flags=marks)
        for one, square, marks in zip(looked.swatches, squares, seen_so, strict=True)
    ]
    found = replace(looked.found, squares=tuple(squares))
    return replace(looked, found=found, swatches=tuple(swatches)), content


@pytest.fixture
def scraps(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    one = flagged(
        1, {0: ("unsure",), 1: ("odd size",), 2: ("unsure", "side not seen")}, covered=[3]
    )
    many = flagged(2, dict.fromkeys(range(6), ("side not seen",)) | {7: ("unsure",)})
    with Catalogue(tmp_path / "own.catalogue") as catalogue:
        catalogue.add("scraps", None, [one, many])
        yield catalogue


def seen(kept, number):
    return next(one for one in kept.swatches if kept.by_label[one.label].id == number)


def test_few_squares_are_asked_about_and_what_many_share_once(scraps):
    kept = scraps.bundle("scraps")
    queue = doubt_queue(kept)
    assert kept.label(queue.squares[0].squares[0]) == "R1C3"
    weights = [one.weight for one in queue.squares]
    assert weights == sorted(weights, reverse=True)
    assert {kept.label(n) for n in queue.asked} == {"R1C1", "R1C2", "R1C3", "R1C4", "R5C4"}
    (photo,) = (one for one in queue.photos if one.squares)
    assert len(photo.squares) == 6
    assert photo.reason == "The sides of 6 squares don't show, so their sizes are guessed."
    assert queue.words == "5 squares and 2 photos want a look."
    odd = next(one for one in queue.squares if one.reason.startswith("It measures"))
    assert "where the bundle's squares measure 5 in." in odd.reason
    for one in (photo, *queue.squares):
        assert one.question.endswith("?")
        assert one.answers[0].words.startswith("Right as found")
    answers = [each.events for one in (photo, *queue.squares) for each in one.answers[:1]]
    after = scraps.do("scraps", [event for events in answers for event in events])
    assert not doubt_queue(after).squares
    assert not any(one.squares for one in doubt_queue(after).photos)
    assert not any(map(look_again, after.swatches))
    assert not any(map(is_doubtful, after.swatches))


def test_right_as_found_is_kept_until_it_is_taken_back_or_moved(scraps, tmp_path):
    from catalog.catalogue.archive.archive_import import import_bundle
    from catalog.catalogue.archive.bundle_archive import export_bundle

    kept = scraps.bundle("scraps")
    first, covered = (kept.by_label[label].id for label in ("R1C3", "R1C4"))
    before = {n: joined_flags(seen(kept, n)) for n in (first, covered)}
    assert before == {first: ["unsure", "side not seen"], covered: ["partly covered"]}
    after = scraps.do("scraps", [say.RightAsFound((first, covered))])
    assert not {first, covered} & doubt_queue(after).asked
    assert [joined_flags(seen(after, n)) for n in before] == [[], []]
    assert after.state.squares[first].right
    export_bundle(scraps.connection, "scraps", tmp_path / "b.zip")
    import_bundle(scraps.connection, tmp_path / "b.zip", "other")
    assert len(doubt_queue(scraps.bundle("other")).squares) == 3
    relit = scraps.do("scraps", [say.PhotoLamp(kept.photos[0].id, lamp=True)])  # measured again
    assert [joined_flags(seen(relit, n)) for n in (first,)] == [[]]
    scraps.undo("scraps")
    back = scraps.undo("scraps")
    assert [joined_flags(seen(back, n))[:2] for n in (first,)] == [["unsure", "side not seen"]]
    assert {first} <= doubt_queue(back).asked
    scraps.do("scraps", [say.RightAsFound((first,))])
    moved = scraps.do("scraps", [say.MovedCorners.of(first, corners_at(200, 100))])
    assert not moved.state.squares[first].right
    off = scraps.do("scraps", [say.RightAsFound((first,)), say.RightAsFound((first,), on=False)])
    assert not off.state.squares[first].right
    used = scraps.do("scraps", [say.MarkedSquares((covered,), "cut")])
    assert covered not in doubt_queue(used).asked


def test_the_page_asks_and_takes_answers_as_deeds(scraps):
    with served(scraps.path) as page:
        view = page.bundle("scraps")
        told = page.get(f"bundle/{view['id']}/doubts")
        assert told["left"] == len(told["photos"]) + 5
        assert {one["square"] for one in told["squares"]} == {
            one["id"] for one in view["squares"] if one["asked"]
        }
        assert not any(one["right"] for one in view["squares"])
        (photo,) = (one for one in told["photos"] if one["squares"])
        assert photo["answers"][1]["open"] == "photo"
        for one in (photo, *told["squares"]):
            view = page.do(view, *one["answers"][0]["deeds"])
        assert not any(one["asked"] or one["doubt"] for one in view["squares"] if one["right"])
        light = page.get(f"bundle/{view['id']}/doubts")["photos"]
        assert not any(one["squares"] for one in light)
        for one in light:
            assert {"ground", "lamp"} >= {one["answers"][0]["deeds"][0]["kind"]}
            page.do(view, *one["answers"][0]["deeds"])
            break
        assert view["photos"][1]["doubts"] == []


def test_the_command_lists_what_is_asked_with_what_answers_it(told, kept):
    found = told("square", "doubts", "blues")
    assert found["words"].endswith("a look.")
    said = kept("square", "right", "blues", "R1C1").stdout
    assert said.startswith("blues: R1C1 is right as found.")
    again = kept("square", "right", "blues", "R1C1", "--off").stdout
    assert "R1C1 is to be looked at again" in again


def test_the_list_says_why_and_how_to_answer(scraps, kept):
    ended = kept("square", "doubts", "scraps", "--catalogue", scraps.path)
    said = " ".join(ended.stdout.split())
    assert "R1C3: The photo hardly shows whether this is a square of cloth at all." in said
    assert "calicount square right scraps R1C3" in said
    assert "calicount square isnt scraps R1C3" in said
