import json
import weakref
from pathlib import Path

import numpy as np
import pytest

from catalog import pipeline
from catalog.bundle.eligibility import sets_need
from catalog.bundle.families import rainbow_order
from catalog.bundle.square_differences import difference_matrix, seen_lightness
from catalog.errors import NoSquaresError, PhotoError
from catalog.finding.early_look import begin_look
from catalog.models import Likeness, MatchRules
from catalog.photo import read_photo
from catalog.system import shipped_network


def look(*photos, families=None, told=None):
    return pipeline.catalogue(photos, 5.0, families, (told if told is not None else []).append)


def count(bundle, sets=None, within=None):
    rules = MatchRules(within=within)
    return pipeline.count(bundle, "Sets", [sets_need(2, sets)], rules, lambda _: None)


@pytest.fixture(scope="module")
def both(two_photos):
    return look(*two_photos)


def colour(swatch):
    return tuple(round(part, 6) for part in swatch.lab)


def test_two_photos_are_one_bundle(both):
    assert [len(result.found.squares) for result in both.photos] == [25, 25]
    labels = [swatch.label for swatch in both.swatches]
    assert labels == [f"R{row}C{col}" for row in range(1, 11) for col in range(1, 6)]


class Held:
    """A network that can be seen to be gone."""

    def __init__(self, net):
        self.net = net

    def __getattr__(self, name):
        return getattr(self.net, name)


@pytest.mark.parametrize("early", [False, True])
def test_what_networks_worked_out_is_forgotten_once_they_are_done(two_photos, monkeypatch, early):
    """It is 90 MB after a photo of 12 megapixels, most of it the detector's."""
    alive, asked, then = weakref.WeakValueDictionary(), [], []
    read = shipped_network._read

    def read_one(weights, one_picture):
        asked.append(weights.name)
        alive[weights.name] = held = Held(read(weights, one_picture))
        return held

    def forget():
        shipped_network.forget_networks()
        then.append((list(asked), set(alive)))

    monkeypatch.setattr(shipped_network, "_read", read_one)
    monkeypatch.setattr(pipeline, "forget_networks", forget)
    begun = early and (lambda path: begin_look(lambda: read_photo(path)))
    bundle = pipeline.catalogue(two_photos[:1], 5.0, None, print, begun=begun)
    assert len(bundle.swatches) == 25
    names = ["detector.onnx", "boundary.onnx", "fabric.onnx"]
    assert then == [(names[:many], set()) for many in (1, 2, 3)]


def test_a_look_that_was_begun_before_is_taken_and_let_go_of(two_photos, both):
    held, measured = weakref.WeakValueDictionary(), []

    def begun(path):
        if path != two_photos[0]:
            return None
        look = held["first"] = begin_look(lambda: read_photo(path))
        return look

    def then(photos, swatches):
        measured.append((len(photos), len(swatches), set(held)))

    bundle = pipeline.catalogue(two_photos, 5.0, None, print, begun=begun, measured=then)
    assert measured == [(2, 50, set())]
    assert bundle.swatches == both.swatches


def test_photos_of_one_name_are_told_apart_by_their_folders(both):
    assert [result.photo.name for result in both.photos] == ["a/bundle.jpg", "b/bundle.jpg"]
    assert {swatch.photo for swatch in both.swatches} == {"a/bundle.jpg", "b/bundle.jpg"}


def test_order_of_photos_changes_labels_alone(both, two_photos):
    turned = look(*reversed(two_photos))

    def facts(bundle):
        return sorted((colour(s), s.family, s.value, s.print_kind) for s in bundle.swatches)

    def sets(bundle):
        place = {swatch.label: colour(swatch) for swatch in bundle.swatches}
        return {
            (frozenset(place[label] for label in one.swatches), round(one.difference, 6))
            for one in count(bundle).sets
        }

    def fabrics(bundle):
        piles = {}
        for swatch in bundle.swatches:
            piles.setdefault(swatch.fabric, set()).add(colour(swatch))
        return {frozenset(pile) for pile in piles.values()}

    assert facts(turned) == facts(both)
    assert fabrics(turned) == fabrics(both)
    assert sets(turned) == sets(both)


def test_squares_lie_where_the_truth_says(both, two_photos, sample_photos):
    for result, letter in zip(both.photos, "ab", strict=True):
        truth = json.loads(
            (sample_photos / f"bundle_25_photo_{letter}.json").read_text(encoding="utf-8")
        )
        shrink = result.photo.pixels.shape[1] / truth["width"]
        true = np.array([square["polygon"] for square in truth["squares"]]) * shrink
        middles = np.array([square.corners for square in result.found.squares]).mean(axis=1)
        nearest = np.linalg.norm(true.mean(axis=1)[:, None] - middles, axis=-1).min(axis=1)
        assert nearest.max() < 0.05 * np.linalg.norm(true[0, 1] - true[0, 0])


def test_sets_are_numbered_from_one_and_as_far_apart_as_their_colours(both):
    result = count(both, sets=6)
    assert [one.number for one in result.sets] == [1, 2, 3, 4, 5, 6]
    seen = {swatch.label: swatch for swatch in both.swatches}
    for one in result.sets:
        dark, light = (seen[label] for label in one.swatches)
        assert seen_lightness(dark, "wall") <= seen_lightness(light, "wall")
        away = difference_matrix([dark, light], Likeness())[0, 1]
        assert one.difference == pytest.approx(away)


def test_sets_too_far_apart_do_not_count(both):
    every, near = count(both), count(both, within=3.0)
    assert len(near.sets) == len(every.sets) == 25
    assert every.tally.lines[0].on_hand == 50
    assert near.tally.lines[0].on_hand == 2 * sum(
        round(one.difference, 1) <= 3.0 for one in near.sets
    )


def test_rainbow_order_holds_every_square_once(both):
    ordered = rainbow_order(both.swatches)
    assert sorted(swatch.label for swatch in ordered) == sorted(s.label for s in both.swatches)


def test_no_squares_is_an_error_of_its_own(no_squares):
    with pytest.raises(NoSquaresError, match=r"cloth\.png: no squares found; lay the") as caught:
        look(no_squares)
    assert caught.value.exit_code == 4


def test_a_photo_without_squares_beside_one_with_them_is_no_error(small_photo, no_squares):
    told = []
    bundle = look(no_squares, small_photo, families=3, told=told)
    assert [len(result.found.squares) for result in bundle.photos] == [0, 24]
    assert bundle.photos[0].light is None
    assert len({swatch.family for swatch in bundle.swatches}) == 3
    assert told[:2] == ["reading cloth.png", "looking for squares in cloth.png"]
    assert "measuring 24 squares in bundle.jpg" in told


def test_a_broken_photo_stops_it(tmp_path, small_photo):
    broken = tmp_path / "half.jpg"
    broken.write_bytes(small_photo.read_bytes()[:20_000])
    with pytest.raises(PhotoError, match=r"'half\.jpg' is "):
        look(broken)


def test_a_name_that_no_file_in_utf8_can_hold_is_shown_with_question_marks():
    names = pipeline.photo_names([Path("a\udcff.jpg"), Path("b\n.jpg")])
    assert names == ["a?.jpg", "b?.jpg"]


def test_names_take_on_as_many_folders_as_they_need():
    paths = [Path("x/one/p.jpg"), Path("y/one/p.jpg"), Path("p.jpg")]
    assert pipeline.photo_names(paths) == ["x/one/p.jpg", "y/one/p.jpg", "p.jpg"]
