"""What a quilt keeps in centimetres, and what is said of squares and sizes that are promised."""

from fractions import Fraction

from test_larger import alike, count

from catalog.count_request import CountRequest, needs_for
from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.larger_quilts import CountedStock, promised
from catalog.models import MatchRules
from catalog.pattern.patterns import read_pattern
from cli.wording import tally_lines

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


TWO_BLOCKS = """
title = "Drawn"
description = "Two blocks, of which one takes pairs and the other single squares."
[layout]
rows = 2
columns = 1
finished_block = "8"
alternate = "rows"
[[feature]]
name = "pair"
size = "4 1/2"
per_block = [2, 0]
match = 2
[[feature]]
name = "single"
size = "4 1/2"
per_block = [0, 2]
[[background]]
name = "ground"
size = "4 1/2"
per_block = [2, 2]
from = "yardage"
"""
BLOCKS = "".join(
    f'[[block]]\nmark = "{mark}"\ngrid = ["A G", "G B"]\n'
    + "".join(
        f'[[block.unit]]\nmark = "{unit}"\nunit = "square"\nfabrics = ["{of}"]\n'
        for unit, of in (("A", f"{name} 1"), ("B", f"{name} 2"), ("G", "ground"))
    )
    for mark, name in (("A", "pair"), ("B", "single"))
)


def test_a_quilt_leaves_no_more_than_there_is_and_is_told_once():
    bundle = alike(8, 2, Fraction(5))
    pattern, rules, side = read_pattern(TWO_BLOCKS + BLOCKS, "x"), MatchRules(), Fraction(5)
    request = CountRequest(side, rules, needs_for(pattern, rules, side, None), pattern)
    made = promised(
        CountedStock(count(bundle, request.needs, rules), request),
        adapt_pattern(pattern.quilt, square=side).layout,
    )
    assert made.chosen.words.endswith("; 12 squares left over")
    assert made.fills
    for one in made.fills:
        assert one.words.endswith(f"; {16 - 2 * one.layout.blocks} squares left over")
    assert not {one.layout for one in made.fills} & {one.layout for one in made.steps}


def test_binding_of_squares_is_in_the_packs():
    bound = MEDALLION.replace('strip = "2 1/2"', 'strip = "2 1/2"\ncut = "squares"')
    made = adapt_pattern(read_pattern(bound, "x").quilt)
    (binding,) = [cut for cut in made.cuts if cut.piece == "binding"]
    (pack,) = made.packs
    assert pack.wanted == binding.count + 2
    assert f"({binding.count} of them for the binding)" in pack.words


def test_enough_says_for_what_it_is_not():
    tally = count([], (), MatchRules()).tally
    assert tally_lines(tally, asked=True)[0] == "Enough."
    told = tally_lines(tally, asked=True, wanting=("binding", "panel of the backing"))
    assert told[0] == ("Enough for the blocks, but not for the binding, the panel of the backing.")


def test_units_of_a_border_that_come_out_too_large_are_told():
    made = adapt_pattern(read_pattern(MEDALLION, "x").quilt)
    (told,) = [line for buy in made.buys for line in buy.plan if "can't be trimmed" in line]
    # (4 1/8 + 1/2) / 3 is no mark: 3 squares of 1 7/8 sew up to 4 5/8, 4 1/8 finished.
    assert "finishes at 4 1/8 in instead of 4 in" in told
    assert "make the border 3 3/4 in or 4 1/8 in wide" in told
    even = MEDALLION.replace('width = "4"', 'width = "4 1/8"')
    made = adapt_pattern(read_pattern(even, "x").quilt)
    assert not [line for buy in made.buys for line in buy.plan if "can't be trimmed" in line]
