"""Several pieces from one cloth, declared once and bought together."""

from fractions import Fraction

import pytest

from catalog.cutting.adapted.adaptation import adapt_pattern
from catalog.cutting.yardage.bolt import Bolt
from catalog.errors import PatternError
from catalog.pattern.pattern_file import pattern_text
from catalog.pattern.patterns import read_pattern
from catalog.report.pictures.border_tones import with_shared_cloths
from catalog.report.pictures.wall_picture import tones_of

FOUR_PATCH = pattern_text("four-patch")
PINWHEEL = pattern_text("pinwheel")


def shared(text, **cloths):
    """Write cloths into a pattern: at its background, sashing, binding, and posts."""
    if "background" in cloths:
        text = text.replace('from = "yardage"', f'from = "yardage"\n{cloths["background"]}', 1)
    for table in ("sashing", "binding", "layout"):
        if table in cloths:
            text = text.replace(f"[{table}]\n", f"[{table}]\n{cloths[table]}\n", 1)
    return read_pattern(text, "mine").quilt


def bought(quilt, **more):
    return {buy.cloth: buy for buy in adapt_pattern(quilt, **more).buys}


def test_pieces_of_one_cloth_are_cut_from_one_length_and_bought_together():
    apart = bought(shared(FOUR_PATCH))
    one = bought(
        shared(
            FOUR_PATCH,
            background='cloth = "night"',
            sashing='cloth = "night"',
            binding='cloth = "night"',
        )
    )
    assert {"background", "sashing", "binding"} <= apart.keys()
    assert not {"background", "sashing", "binding"} & one.keys()
    night = one["night"]
    pieces = "background", "sashing", "binding strip"
    assert all(any(name in line for line in night.plan) for name in pieces)
    assert any(line.startswith("binding: ") and "joined on a slant" in line for line in night.plan)
    # The counter rounds up, and keeps an eighth to spare, once instead of three times.
    assert night.used <= sum(apart[name].used for name in ("background", "sashing", "binding"))
    assert night.bought < sum(apart[name].bought for name in ("background", "sashing", "binding"))


def test_every_piece_of_a_shared_cloth_is_in_the_list_of_what_is_cut():
    quilt = shared(FOUR_PATCH, background='cloth = "night"', binding='cloth = "night"')
    cuts = {cut.piece: cut for cut in adapt_pattern(quilt).cuts if cut.cloth == "night"}
    assert set(cuts) == {"background", "binding strip"}
    assert cuts["binding strip"].width == Bolt().width
    assert all(cut.how for cut in cuts.values())


def test_a_bias_binding_of_a_shared_cloth_is_cut_from_its_square():
    quilt = shared(PINWHEEL, background='cloth = "sky"', binding='cut = "bias"\ncloth = "sky"')
    (square,) = [c for c in adapt_pattern(quilt).cuts if c.piece == "square for bias binding"]
    assert (square.cloth, square.width) == ("sky", square.length)
    assert square.width == square.width // 1


def test_a_cloth_may_be_called_by_a_piece_that_is_cut_from_it():
    named = shared(FOUR_PATCH, background='cloth = "night"', sashing='cloth = "background"')
    assert named.sashing.cloth == "night"
    assert shared(FOUR_PATCH, sashing='cloth = "background"').sashing.cloth == "background"


def test_a_print_s_direction_holds_for_all_that_is_cut_from_it():
    small = """
[[small]]
name = "dot"
size = "2"
in_all = 4
from = "yardage"
cloth = "birds"
"""
    text = PINWHEEL.replace("[block]\n", f"{small}\n[block]\n", 1)
    quilt = shared(text, background='cloth = "birds"\ndirectional = true')
    assert {kind.directional for kind in quilt.kinds if kind.cloth == "birds"} == {True}
    assert quilt.is_directional("birds")


def test_edges_of_a_quilt_on_point_and_posts_may_share_a_cloth_too():
    text = PINWHEEL.replace("[layout]\n", '[layout]\nset = "on point"\n', 1)
    quilt = shared(text, background='cloth = "sky"', layout='edge_cloth = "sky"')
    assert "edge triangles" not in bought(quilt)
    assert any("side triangles" in line for line in bought(quilt)["sky"].plan)
    with pytest.raises(PatternError, match="edge_cloth"):
        shared(PINWHEEL, layout='edge_cloth = "sky"')


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ({"sashing": 'cloth = "patch"'}, "squares of the bundle, and this is cut from yardage"),
        ({"background": 'cloth = "patch"'}, "squares of the bundle"),
        ({"sashing": 'post_cloth = "night"'}, "the posts are cornerstone"),
        ({"binding": 'cloth = ""'}, "one line of 1 to 40 signs"),
    ],
)
def test_a_cloth_that_can_t_be_is_refused_in_words(where, words):
    with pytest.raises(PatternError, match=words):
        shared(FOUR_PATCH, **where)


def test_squares_of_the_bundle_have_no_cloth_by_the_yard():
    text = FOUR_PATCH.replace('from = "left over"', 'from = "left over"\ncloth = "night"', 1)
    with pytest.raises(PatternError, match="is cut from squares, and a cloth is bought by the yar"):
        read_pattern(text, "mine")


def test_sashing_of_the_ground_s_cloth_is_drawn_in_its_tone():
    tones = tones_of(Fraction(80), [(40.0, 10.0, 10.0)])
    apart = shared(FOUR_PATCH)
    one = shared(FOUR_PATCH, background='cloth = "night"', sashing='cloth = "night"')
    assert with_shared_cloths(apart, tones) == tones
    assert with_shared_cloths(one, tones).sashing == tones.ground
