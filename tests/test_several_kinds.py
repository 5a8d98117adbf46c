"""A bundle of several kinds of squares, each photographed by itself."""

import csv
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from catalog import pipeline
from catalog.bundle.pieces import pieces_from
from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.adapted.packs import pack_lines
from catalog.models import Found, Need, Photo, Square, Swatch, Tally, TallyLine
from catalog.pattern.patterns import load_pattern
from catalog.squares_used import as_used
from cli.counting.count_options import CountOptions
from cli.counting.typed_count import request_of_photos

PIXELS = np.zeros((8, 8, 3), np.uint8)


def rows(folder, name):
    with (Path(folder) / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def swatch(side, said):
    square = Square(((0, 0), (9, 0), (9, 9), (0, 9)), None, None, side, side, 1.0, said_in=said)
    return Swatch("A", "a.jpg", square, (50.0, 0.0, 0.0), "plain", 0.0)


def test_a_square_counts_as_what_its_photo_is_said_to_show():
    need = Need("patch", "feature", "square", Fraction(5), 8, of_square=Fraction(5))
    # It measures a quarter of an inch short in the photo, as squares of 10 in may.
    assert pieces_from(swatch(9.75, 10.0), need) == 4
    assert pieces_from(swatch(9.75, 0.0), need) == 1
    assert pieces_from(swatch(4.8, 0.0), need) == 1


def test_the_first_size_is_the_bundle_s_and_each_photo_is_looked_at_with_its_own(monkeypatch):
    asked = []

    def found(photo, side, *_):
        asked.append(side)
        return Found((swatch(side, 0.0).square,), 100.0)

    monkeypatch.setattr(pipeline, "find_squares", found)
    monkeypatch.setattr(pipeline, "without_chart", lambda _, seen: seen)
    monkeypatch.setattr(pipeline, "read_photo", lambda path: Photo(path.name, PIXELS))
    seen = []

    def measured(what, *_):
        seen.extend(one.squares[0].said_in for _, one in what)
        raise InterruptedError

    monkeypatch.setattr(pipeline, "_measured", measured)
    paths = [Path("a.jpg"), Path("b.jpg")]
    request = request_of_photos(CountOptions(square="5+10", pattern="four-patch"), paths)
    assert (request.side, request.photo_sides) == (5, (5, 10))
    with pytest.raises(InterruptedError):
        pipeline.catalogue(paths, tuple(map(float, request.photo_sides)), None, print)
    assert asked == [5.0, 10.0]
    assert seen == [0.0, 10.0]
    assert request_of_photos(CountOptions(square="5"), paths).photo_sides == ()


@pytest.mark.slow
def test_each_photo_has_squares_of_its_own_size(calicount, two_photos):
    result = calicount("count", *two_photos, "--square", "5+10", "--pattern", "four-patch")
    assert result.exit_code in {0, 3}, result.output
    swatches = rows("calicount-out", "swatches.csv")
    photo = {row["swatch"]: row["photo"] for row in swatches}
    fives, tens = dict.fromkeys(photo.values())
    sizes = {"small": [], "large": []}
    for row in swatches:
        kind = "small" if row["photo"] == fives else "large"
        sizes[kind] += [float(row["width_in"]), float(row["height_in"])]
    assert all(abs(side - 5) < 0.6 for side in sizes["small"])
    assert all(abs(side - 10) < 1.2 for side in sizes["large"])
    (patch,) = [row for row in rows("calicount-out", "tally.csv") if row["need"] == "patch"]
    given = dict(zip(patch["swatches"].split(";"), patch["pieces_of_each"].split(";"), strict=True))
    most = Counter()
    for label, number in given.items():
        most[photo[label]] = max(most[photo[label]], int(number))
    # A square of 10 in gives four patches of 4 1/2, one of 5 in gives one.
    assert most[fives] <= 1 < most[tens] <= 4


def test_as_many_sizes_as_photos_or_one(calicount, two_photos):
    result = calicount("count", *two_photos, "--square", "5+10+5")
    assert result.exit_code == 2
    assert "--square names 3 sizes for 2 photos" in result.stderr
    result = calicount("count", two_photos[0], "--square", "5+10")
    assert "names 2 sizes for 1 photo" in result.stderr


def test_what_is_cut_is_told_of_the_squares_that_serve():
    pattern = load_pattern("four-patch")
    adapted = adapt_pattern(pattern.quilt, square=Fraction(5))
    needs = {need.name: need for need in pattern.needs}
    sides = {label: Fraction(10 if label < "H" else 5) for label in "ABCDEFGHIJ"}
    patch = TallyLine(needs["patch"], 24, 0, 3, tuple("ABCDEF"), pieces=(4,) * 6)
    post = TallyLine(needs["cornerstone"], 20, 0, 3, ("G",), pieces=(20,))

    def told(*lines, sides=sides):
        made = as_used(adapted, Tally("", lines, ()), sides)
        return {cut.piece: cut.how for cut in made.cuts}, pack_lines(made.packs, "valleys")

    cuts, packs = told(patch, post)
    assert cuts["patch"] == "4 from each of 6 squares of 10 in"
    assert cuts["cornerstone"] == "20 from one square of 10 in"
    (line, _) = packs
    assert "1 pack of 10 in squares (42 in a pack): 7 are used and 35 left over" in line
    assert "each gives 4 patch or 36 cornerstone" in line
    both = replace(patch, on_hand=7, swatches=("A", "H", "I"), pieces=(4, 1, 1))
    cuts, packs = told(both, replace(post, swatches=("I", "J"), pieces=(9, 9)))
    assert cuts["patch"].startswith("4 from one square of 10 in; 1 from one square of 5 in; 1 from")
    assert cuts["patch"].endswith("of 5 in that other pieces come from too; 18 wanting")
    assert [row.partition(" (")[0] for row in packs[:2]] == [
        "The squares: 1 pack of 5 in squares",
        "The squares: 1 pack of 10 in squares",
    ]
    alike = dict.fromkeys(sides, Fraction(5))
    assert told(patch, post, sides=alike)[0]["patch"] == "one from each square"
