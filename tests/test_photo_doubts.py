"""What so many squares of a photo share is told of the photo once, and marks no square."""

from dataclasses import replace

import numpy as np
import pytest
from drawn import looked_at, stand_in

from catalog.bundle.photo_doubts import photo_doubts, with_own_flags
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.count_results import Bundle, PhotoResult
from catalog.models import Photo
from catalog.report.tables.csv_tables import joined_flags
from catalog.report.tables.json_object import json_object
from cli.bundles.bundle_json import photo_object
from cli.bundles.show import light_lines
from cli.page.bundle_view import bundle_view
from cli.wording import bundle_lines

HIDDEN = "side not seen"
SENTENCE = "the sides of many squares don't show"


def marked(count, seed=1):
    """Give a photo of 18 squares, the first so many of them with a side that isn't seen."""
    looked, content = looked_at(seed, rows=3, cols=6)
    squares = tuple(
        replace(one, flags=(*one.flags, HIDDEN)) if place < count else one
        for place, one in enumerate(looked.found.squares)
    )
    swatches = tuple(
        replace(one, square=square, flags=square.flags)
        for one, square in zip(looked.swatches, squares, strict=True)
    )
    found = replace(looked.found, squares=squares)
    return replace(looked, found=found, swatches=swatches), content


def flagged(swatches):
    return sum(HIDDEN in joined_flags(one) for one in swatches)


@pytest.mark.parametrize(("count", "left"), [(0, 0), (4, 4), (5, 0), (18, 0)])
def test_a_square_is_marked_for_its_own_only(count, left):
    looked, _ = marked(count)
    assert photo_doubts(looked.found.squares) == ((HIDDEN,) if left < count else ())
    assert flagged(with_own_flags(looked.swatches)) == left


def test_other_flags_and_other_photos_stay():
    many, few = (marked(count, seed)[0].swatches for seed, count in enumerate((9, 2)))
    odd = [replace(one, flags=(*one.flags, "odd size")) for one in many]
    own = with_own_flags((*odd, *few))
    assert flagged(own) == 2
    assert all("odd size" in one.flags for one in own[: len(many)])


def test_nothing_is_touched_where_nothing_is_shared():
    swatches = marked(2)[0].swatches
    assert all(a is b for a, b in zip(with_own_flags(swatches), swatches, strict=True))


def test_a_count_says_it_with_the_photo():
    looked, _ = marked(9)
    photo = replace(looked, name="left.jpg")
    result = PhotoResult(photo, looked.found, None)
    lines = bundle_lines(Bundle((result,), with_own_flags(looked.swatches)))
    assert f"left.jpg: 18 squares found; {SENTENCE}" in lines[0]
    assert not any("Look again" in line for line in lines)


def test_json_says_it_with_the_photo():
    from json import loads

    import numpy as np

    from catalog.models import Photo

    looked, _ = marked(9)
    photo = Photo("a", np.zeros((2, 2, 3), np.uint8))
    text = json_object([photo], looked.swatches, found={"a": looked.found})
    assert loads(text)["photos"][0]["doubts"] == [HIDDEN]


def test_a_kept_bundle_says_it_with_the_photo(tmp_path, monkeypatch):
    stand_in(monkeypatch.setattr)
    with Catalogue(tmp_path / "a.catalogue") as catalogue:
        kept = catalogue.add("reds", None, [marked(9, 1), marked(2, 2)]).kept
        assert flagged(kept.swatches) == 2
        told = [line for line in light_lines(kept) if SENTENCE in line]
        assert told == [f"photo 1.jpg: {SENTENCE}, so that their sizes are guessed."]
        assert [photo_object(kept, one)["doubts"] for one in kept.photos] == [[HIDDEN], []]
        view = bundle_view(kept)
        assert [len(one["doubts"]) for one in view["photos"]] == [1, 0]
        assert sum(HIDDEN in one["flags"] for one in view["squares"]) == 2
        again = catalogue.bundle("reds")
        assert again.swatches == kept.swatches


@pytest.mark.parametrize(
    ("doubts", "sentence"),
    [
        ((4.9, 5.0), None),
        ((4.0, 12.6), "Less sure is R1C2, up to 13 off: too bright in the photo to be told,"),
        ((7.2, 5.1), "Less sure are R1C1, R1C2, up to 7 off:"),
    ],
)
def test_squares_whose_colour_the_photo_lost_are_named(doubts, sentence):
    looked, _ = marked(0)
    name = looked.name
    swatches = tuple(
        replace(one, photo=name, own_uncertainty=doubt)
        for one, doubt in zip(looked.swatches[:2], doubts, strict=True)
    )
    photo = Photo(name, np.zeros((2, 2, 3), np.uint8))
    told = " ".join(
        bundle_lines(Bundle((PhotoResult(photo, looked.found, looked.light),), swatches))
    )
    assert (sentence in told) if sentence else "Less sure" not in told
