"""What is asked of the light: in words, in what is kept, and answered once."""

from dataclasses import replace

import numpy as np
import pytest
from drawn import looked_at, measured, stand_in

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.store import encoding
from catalog.light_questions import LIGHT_QUESTIONS
from catalog.models import Light, LightHints
from cli.bundles.bundle_json import photo_object
from cli.bundles.show import light_lines
from cli.page.bundle_view import bundle_view
from cli.wording import bundle_lines

ASKING = Light(np.ones(3), np.ones((2, 2, 3), np.float32), "a card", 1.2, 2.0, question="lamp")


@pytest.fixture
def catalogue(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(tmp_path / "a.catalogue") as opened:
        yield opened


@pytest.mark.parametrize("asked", [None, *LIGHT_QUESTIONS])
def test_a_light_is_kept_with_its_question(asked):
    kept = encoding.light_bytes(replace(ASKING, question=asked))
    assert encoding.light_of(kept).question == encoding.question_of(kept) == asked


def test_a_question_of_a_newer_version_is_passed_over(monkeypatch):
    kept = encoding.light_bytes(ASKING)
    monkeypatch.setattr(encoding, "_QUESTIONS", {})
    assert encoding.light_of(kept).question is encoding.question_of(kept) is None


def test_a_light_that_is_broken_asks_nothing():
    assert encoding.question_of(b"no light") is None


def test_each_answer_settles_something():
    for asked in LIGHT_QUESTIONS.values():
        assert all((one.ground is None) != (one.lamp is None) for one in asked.answers)
        assert all(one.option in asked.options() for one in asked.answers)


def photo(question):
    from catalog.count_results import Bundle, PhotoResult

    looked, _ = looked_at(1)
    result = PhotoResult(looked, looked.found, replace(ASKING, question=question))
    return Bundle((result,), looked.swatches)


def test_a_count_asks_once_for_the_photo():
    (asked,) = (line for line in bundle_lines(photo("lamp")) if "judged by" in line)
    assert "Was a lamp on?" in asked
    assert "--lamp (yes) or --no-lamp (no, daylight)" in asked
    assert not any("?" in line for line in bundle_lines(photo(None)) if "judged by" in line)


def test_a_kept_bundle_asks_until_it_is_answered(catalogue):
    catalogue.add("reds", None, [looked_at(1), looked_at(2)])
    kept = catalogue.bundle("reds")
    asked = [line for line in light_lines(kept) if "Was a lamp on?" in line]
    assert len(asked) == 1
    assert asked[0].startswith("Photos 1, 2: ")
    assert "calicount light reds --photo 1 and --lamp" in asked[0]
    shown = bundle_view(kept)["photos"][0]["question"]
    yes, _ = shown["answers"]
    assert yes["event"] == {"kind": "lamp", "photo": kept.photos[0].id, "lamp": True}
    assert photo_object(kept, kept.photos[0])["question"] == shown["words"]
    for one in kept.photos:
        kept = catalogue.do("reds", [say.PhotoLamp(one.id, lamp=True)])
    assert not any("Was a lamp on?" in line for line in light_lines(kept))
    assert all(one["question"] is None for one in bundle_view(kept)["photos"])
    assert photo_object(kept, kept.photos[0])["lamp"] is True


def test_what_is_said_while_photos_are_added_is_said_of_each(catalogue):
    added = catalogue.add("reds", None, [looked_at(1), looked_at(2)], ground="mat", lamp=False)
    assert set(added.kept.state.lamps.values()) == {False}
    assert [photo_object(added.kept, one)["lamp"] for one in added.kept.photos] == [False, False]


def test_colours_measured_before_anything_was_said_stay(catalogue):
    catalogue.add("reds", None, [looked_at(1)])
    before = catalogue.bundle("reds")
    said = catalogue.do("reds", [say.PhotoLamp(before.photos[0].id, lamp=True)])
    assert said.measured_from != before.measured_from
    taken_back = catalogue.undo("reds")
    assert taken_back.measured_from == before.measured_from
    assert [one.lab for one in taken_back.swatches] == [one.lab for one in before.swatches]


def test_drawn_photos_follow_what_is_said():
    looked, content = looked_at(1)
    other = measured(content, looked.name, looked.found, None, LightHints(lamp=True))
    assert other.light.question is None
