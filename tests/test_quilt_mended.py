"""What a quilt keeps in centimetres, and what is said of squares and sizes that are promised."""

from fractions import Fraction

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.pattern.patterns import read_pattern

MEDALLION = """
title = "Drawn"
description = "A block inside borders of units."
[layout]
rows = 1
columns = 1
finished_block = "16"
[[feature]]
name = "patch"
size = "4 1/2"
per_block = 2
[[background]]
name = "plain"
size = "4 1/2"
per_block = 14
from = "yardage"
[block]
grid = ["G G G G", "G F H G", "G G G G", "G G G G"]
[[block.unit]]
mark = "G"
unit = "square"
fabrics = ["plain"]
[[block.unit]]
mark = "F"
unit = "square"
fabrics = ["patch 1"]
[[block.unit]]
mark = "H"
unit = "square"
fabrics = ["patch 2"]
[[border]]
width = "2"
pieced = "half-square-triangle"
fabrics = ["sun", "ground"]
spacer = "ground"
[[border]]
width = "3"
[[border]]
width = "4"
pieced = "nine-patch"
fabrics = ["sun", "sea"]
spacer = "sea"
corners = "posts"
[binding]
strip = "2 1/2"
"""


def test_a_border_has_as_many_units_in_centimetres_as_in_inches():
    quilt = read_pattern(MEDALLION, "x").quilt
    inches, metric = (adapt_pattern(quilt, cm=cm) for cm in (False, True))
    counts = [
        {(cut.piece, cut.cloth): cut.count for cut in made.cuts if "square for" in cut.piece}
        for made in (inches, metric)
    ]
    assert counts[0] == counts[1]
    names = [{cut.piece for cut in made.cuts} for made in (inches, metric)]
    assert names[0] == names[1]
    assert inches.layout.width == 36
    assert abs(metric.layout.width - 36) < Fraction(1, 4)
    assert metric.written.width == metric.layout.width
