"""Backing, batting, binding, hanging sleeve and label, as a pattern asks for them."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from walls_made import FOUR_PATCH

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.adapted.finishing import left_over_lines
from catalog.cutting.quilt_finishing import Finishing, QuiltBacking, QuiltLabel, Sleeve
from catalog.cutting.yardage.backing import backing, batting
from catalog.cutting.yardage.binding import binding
from catalog.cutting.yardage.bolt import Bolt
from catalog.cutting.yardage.finishing_pieces import binding_strip, panel_of_squares, sleeve_piece
from catalog.errors import ClothError, PatternError
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.patterns import read_pattern

SIDES = st.fractions(20, 130, max_denominator=8)
SQUARES = st.sampled_from([Fraction(5, 2), Fraction(5), Fraction(10)])
TEXT = pattern_text("four-patch")


def finished(**asked):
    return adapt_pattern(replace(FOUR_PATCH, finishing=Finishing(**asked)))


@pytest.mark.parametrize(
    ("shows", "fold", "seam", "strip"),
    [
        # Rows BD017 and BD018 of trade_checks/yardage.csv.
        ("1/2", "double", "1/4", "5/2"),
        ("3/8", "double", "1/4", "2"),
        # https://learnhowtoquilt.com/quilt-tutorials/finishing-the-quilt/double-fold-binding/
        ("1/2", "double", "1/2", "3"),
        # Front, back, and a seam under each raw edge: our geometry.
        ("1/4", "single", "1/4", "1"),
    ],
)
def test_the_strip_follows_from_what_shows(shows, fold, seam, strip):
    assert binding_strip(Fraction(shows), fold, Fraction(seam)) == Fraction(strip)


@given(SIDES, SIDES, SQUARES, st.sampled_from([Fraction(9, 4), Fraction(2), Fraction(3, 2)]))
@settings(max_examples=30, deadline=None)
def test_binding_of_squares_goes_round(width, length, square, strip):
    found = binding(width, length, strip=strip, grain="squares", square=square)
    each = int(square / strip)
    assert found.made >= found.wanted >= 2 * (width + length)
    # Strips sewn end to end on a slant: each join takes a strip's width.
    strips = found.squares * each
    assert strips * square - (strips - 1) * strip >= found.wanted
    fewer = (found.squares - 1) * each
    assert fewer * square - (fewer - 1) * strip < found.wanted
    assert found.purchase.bought == 0


def test_squares_too_small_for_a_strip_are_refused():
    with pytest.raises(ClothError, match="too small for binding cut 2 1/2 in wide"):
        binding(
            *(Fraction(40), Fraction(40)),
            strip=Fraction(5, 2),
            grain="squares",
            square=Fraction(5, 2),
        )


@given(
    SIDES,
    SIDES,
    SQUARES,
    st.sampled_from([40, 42, 60, 90, 108]),
    st.booleans(),
    st.fractions(0, 6, max_denominator=4),
)
@settings(max_examples=40, deadline=None)
def test_a_panel_of_squares_makes_up_what_is_wanting(wide, long, square, cloth, up, over):
    bolt = Bolt(Fraction(cloth), directional=up)
    found = backing(wide, long, bolt, overhang=over, square=square)
    plain = backing(wide, long, bolt, overhang=over)
    spans = {"up and down": (found.width, found.length), "across": (found.length, found.width)}
    if plain.panels == 1:
        assert (found.squares, found.purchase) == (0, plain.purchase)
        return
    span, panel = spans[found.seams]
    assert found.purchase.used == (found.panels - 1) * panel <= plain.purchase.used
    # Widths of cloth sewn side by side, and the panel between two parts of them.
    cloths = (found.panels - 1) * cloth - (found.panels - 2) * Fraction(1, 2)
    shows = square - Fraction(1, 2)
    across = next(n for n in range(1, 500) if found.squares % n == 0 and
                  found.squares // n == math.ceil((panel - Fraction(1, 2)) / shows))  # fmt: skip
    made = across * shows + Fraction(1, 2)
    assert cloths + made - 4 * Fraction(1, 4) >= span
    assert cloths + made - shows - 4 * Fraction(1, 4) < span
    if up:
        assert found.seams == "up and down"


def test_a_backing_may_have_a_width_an_overhang_and_a_direction_of_its_own():
    wide = finished(backing=QuiltBacking(Fraction(108), Fraction(3)))
    (back,) = [buy for buy in wide.buys if buy.cloth == "backing"]
    assert back.width == 108
    long = min(wide.layout.width, wide.layout.length) + 6
    assert back.used == long
    (soft,) = [buy for buy in wide.buys if buy.cloth == "batting"]
    assert "3 in over on each side" in soft.words
    printed = finished(backing=QuiltBacking(Fraction(20), directional=True))
    (back,) = [buy for buy in printed.buys if buy.cloth == "backing"]
    assert "seam up and down" in back.words
    squares = finished(backing=QuiltBacking(Fraction(42), last_panel="squares"))
    cuts = [cut for cut in squares.cuts if cut.piece == "panel of the backing"]
    assert all(cut.cloth == "squares left over" and cut.width == 5 for cut in cuts)


def test_batting_comes_in_the_smallest_package_that_holds_it():
    assert batting(Fraction(30), Fraction(40)).package == (45, 60)
    assert batting(Fraction(26), Fraction(37)).package == (34, 45)
    assert batting(Fraction(50), Fraction(52)).package == (60, 60)
    # 60 x 72 with 4 in a side: https://quiltler.com/quilt-batting-calculator (68 x 80, twin).
    found = batting(Fraction(60), Fraction(72))
    assert ((found.width, found.length), found.package) == ((68, 80), (72, 90))


def test_a_sleeve_and_a_label_are_cut_and_bought():
    made = finished(
        sleeve=Sleeve(Fraction(4), "moss"), label=QuiltLabel(Fraction(5), Fraction(3), "moss")
    )
    cuts = {cut.piece: cut for cut in made.cuts}
    sleeve, label = cuts["hanging sleeve"], cuts["label"]
    # http://www.sewhappystitchers.com/how-to-make-a-hanging-sleve.html: 9 in, 1 in shorter.
    assert (sleeve.width, sleeve.length) == (made.layout.width - 1, 9)
    assert (label.width, label.length) == (Fraction(11, 2), Fraction(7, 2))
    (bought,) = [buy for buy in made.buys if buy.cloth == "moss"]
    assert bought.used >= 9
    # http://www.moonlightquilters.org/tip-hanging-sleeve/: 11 in for a sleeve of 5.
    assert sleeve_piece(Fraction(80), Fraction(5)).length == 11
    with pytest.raises(ClothError, match="no room for a hanging sleeve"):
        sleeve_piece(Fraction(1), Fraction(4))
    with pytest.raises(ClothError, match="nothing would show"):
        panel_of_squares(Fraction(4), Fraction(40), Fraction(1, 2), Fraction(1, 4))


def asked(text):
    return read_pattern(TEXT + text, "x").quilt


def test_a_pattern_says_how_it_is_finished():
    bound = TEXT.split("[binding]")[0]
    quilt = read_pattern(bound + '[binding]\nfinished = "3/8"\ncut = "squares"\n', "x").quilt
    assert (quilt.binding.strip, quilt.binding.grain) == (2, "squares")
    made = adapt_pattern(quilt)
    (row,) = [cut for cut in made.cuts if cut.piece == "binding"]
    assert row.cloth == "squares left over"
    assert not [buy for buy in made.buys if buy.cloth == "binding"]
    # Each strip but the last gives its length less the 2 in of a slanted join.
    side = row.width
    wanted = 2 * (made.layout.width + made.layout.length) + 10
    strips = 1 + math.ceil((wanted - side) / (side - 2))
    assert row.count == math.ceil(strips / int(side / 2))
    full = asked(
        '[backing]\nwidth = "108"\noverhang = "3"\ndirectional = true\nlast_panel = "pieces"\n'
        '[sleeve]\n[label]\nwidth = "5"\nlength = "3"\ncloth = "moss"\n'
    )
    assert full.finishing == Finishing(
        QuiltBacking(Fraction(108), Fraction(3), directional=True, last_panel="pieces"),
        Sleeve(Fraction(4)),
        QuiltLabel(Fraction(5), Fraction(3), "moss"),
    )


@pytest.mark.parametrize(
    ("binding_fields", "problem"),
    [
        ('strip = "2"\nedge = "scalloped"', "lay a tape along them"),
        ('strip = "2"\nedge = "rounded"', "only a bias strip goes round a curve"),
        ('strip = "2"\nfinished = "1/4"', "it stands beside strip"),
        ('strip = "2"\nfold = "single"', "the strip's width says it already"),
        ("", "give strip or finished"),
    ],
)
def test_a_binding_that_can_not_be_is_refused(binding_fields, problem):
    with pytest.raises(PatternError) as refused:
        read_pattern(TEXT.split("[binding]")[0] + f"[binding]\n{binding_fields}\n", "x")
    assert problem in f"{refused.value.problem}; {refused.value.cure}"


def test_squares_left_over_that_are_wanting_are_told():
    bound = TEXT.split("[binding]")[0] + '[binding]\nstrip = "2"\ncut = "squares"\n'
    quilt = read_pattern(bound, "x").quilt
    panel = QuiltBacking(Fraction(20), last_panel="squares")
    cuts = adapt_pattern(replace(quilt, finishing=Finishing(panel))).cuts
    bound, back = [cut.count for cut in cuts if cut.piece in {"binding", "panel of the backing"}]
    assert left_over_lines(cuts, bound + back) == []
    assert left_over_lines(cuts, bound + back - 1) == [
        f"panel of the backing: {back} squares left over are wanted and {back - 1} are there; cut "
        "the rest from other fabric."
    ]
    assert len(left_over_lines(cuts, 0)) == 2
