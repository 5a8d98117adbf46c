"""Yardage and quilt sizes against published examples (trade_checks/yardage.csv, with sources)."""

import csv
import re
from fractions import Fraction
from pathlib import Path

import pytest
from published_rules import (
    MATTRESSES,
    PRECUTS,
    area,
    backing_by_area,
    bias_length_by_area,
    bias_square_by_area,
    border_length,
    grid_fit,
    pieces_from_cloth,
    pieces_per_strip,
    shrunk_percent,
    strips_for_pieces,
    strips_from_length,
    widest_sashing,
    yards,
)
from walls_made import PINWHEEL

from catalog.cutting.customary import USABLE_WIDTH
from catalog.cutting.edge_pieces import (
    CORNER_SQUARE,
    HALF_POST_SQUARE,
    SIDE_SQUARE,
    edge_triangles,
    sashing_of,
)
from catalog.cutting.layouts.precuts import find_precut
from catalog.cutting.layouts.sheet_plan import sheet_plan
from catalog.cutting.layouts.stacking import MAX_LAYERS
from catalog.cutting.quilt_sizes.beds import bed_size, mattress_of
from catalog.cutting.quilt_sizes.quilt_layout import Layout, spacer_width
from catalog.cutting.quilt_sizes.sashing import (
    half_post_count,
    post_count,
    sashing_cut,
    strip_count,
)
from catalog.cutting.quilt_sizes.standard_sizes import USUAL_SIZES
from catalog.cutting.yardage.backing import OVERHANG, PACKAGES, backing, backing_size
from catalog.cutting.yardage.binding import ENDS_ALLOWANCE, bias_length, binding_length
from catalog.cutting.yardage.bolt import Bolt, before_shrinking
from catalog.cutting.yardage.borders import MITRE_SAFETY, border, mitre_seams
from catalog.cutting.yardage.finishing_pieces import binding_strip, sleeve_piece
from catalog.cutting.yardage.strip_counts import joined_length, strips_to_join
from catalog.cutting.yardage.strip_plan import strip_plan
from catalog.length_text import parse_length
from catalog.lengths import CENTIMETRES_PER_INCH
from catalog.models import Piece

PRINTED = Fraction(11, 1000)
"""Half a unit of the second decimal."""
FINE = Fraction(1, 1000)


def _layout(r, **more):
    return Layout(int(r["down"]), int(r["across"]), r["block"], sashing=r["sashing"], **more)


def _size(layout):
    return layout.width, layout.length


def _of_posts(r):
    return Layout(int(r["rows"]), int(r["cols"]), Fraction(6), sashing=Fraction(1), outer=True)


def _bordered(r):
    whole = Layout(1, 1, r["width"], r["length"], borders=(r["border"],))
    return _size(whole)


def _mitred(r):
    seam = Fraction(1, 4)
    safety = r["extra"] - mitre_seams(seam)  # the published allowance is for both
    top = r["length"]
    found = border(top, top, r["border"], corners="mitred", seam=seam, mitre_safety=safety)
    return found.pieces[0].length


def _corner_sashed(r):
    layout = Layout(2, 2, r["block"], sashing=r["sashing"], on_point=True)
    cut = {piece.name: piece for piece in edge_triangles(layout, Fraction(1, 4))}
    return cut[CORNER_SQUARE].width


def _on_point(r):
    rows, columns = int(r.get("rows", 4)), int(r.get("cols", 3))
    strip = r.get("sashing", Fraction(3, 4))
    return Layout(
        *(rows, columns, r.get("block", Fraction(8))),
        sashing=strip,
        on_point=True,
        half_posts=True,
    )


def _half_posts(r):
    """What is cut where the quilt's edge runs through the middle of the posts."""
    layout = _on_point(r)
    pieces = (
        *sashing_of(PINWHEEL, layout, Fraction(1, 4)),
        *edge_triangles(layout, Fraction(1, 4)),
    )
    return {piece.name: piece for piece in pieces}


def _bed(r):
    assert r["side"] == r["foot"]
    bed = mattress_of(f"{r['mattress_w']}x{r['mattress_l']}")
    size = bed_size(bed, r["side"], r.get("head", Fraction(0)))
    return size.width, size.length


def _grid(r):
    layout = Layout(int(r["down"]), int(r["across"]), r["cut"] - Fraction(1, 2))
    return layout.width, layout.length


def _panels_length(r):
    """Cloth for panels of a length: what a quilt takes that needs as many."""
    cloth = Bolt()
    width = joined_length(int(r["panels"]), cloth.width, 2 * cloth.seam)
    up_and_down = Bolt(directional=True)
    return backing(width, r["panel_length"], up_and_down, overhang=Fraction(0)).purchase.used


def _whole_strips(r):
    strip = Piece("strip", USABLE_WIDTH, r["strip"], int(r["strips"]))
    return strip_plan([strip], Bolt(directional=True)).length


def _cut_yards(r):
    return yards(r["inches"], step=1 / r["round_to"] if "round_to" in r else None)


def _precuts(r):
    """Equal pieces from fat quarters of a width, as the product cuts them up."""
    piece = Piece("piece", r["a"], r["b"], int(r["pieces"]))
    return sheet_plan([piece], r["width"], r["length"], "fat quarter").number


def _mixed(r):
    pieces = [
        Piece("ten", Fraction(10), Fraction(10), int(r["tens"])),
        Piece("five", Fraction(5), Fraction(5), int(r["fives"])),
        Piece("strip", r["width"], Fraction(5, 2), int(r["strips"])),
    ]
    return sheet_plan(pieces, r["width"], r["length"], "fat quarter").number


OURS = {
    "area.sq_in": lambda r: area(int(r["n"]), r["a"], r["b"]),
    "backing.area_yards": lambda r: backing_by_area(r["width"], r["length"], r["add"]),
    "backing.joined_width": lambda r: joined_length(int(r["panels"]), r["usable"], 2 * r["seam"]),
    "backing.panel_in": _panels_length,
    "backing.panels": lambda r: strips_to_join(r["span"], r["usable"]),
    "backing.size": lambda r: backing_size(r["width"], r["length"], r["per_side"]),
    "bed.quilt": _bed,
    "bias.continuous": lambda r: bias_length(r["square"], r["strip"]),
    "bias.length": lambda r: bias_length_by_area(r["square"], r["strip"]),
    "bias.square": lambda r: bias_square_by_area(r["total"], r["strip"], FINE),
    "binding.fabric_in": _whole_strips,
    "binding.length": lambda r: binding_length(r["width"], r["length"], r["extra"]),
    "binding.strip_width": lambda r: binding_strip(
        r["finished"], "double", r.get("seam", Fraction(1, 4))
    ),
    "binding.strips": lambda r: strips_to_join(r["total"], r["usable"]),
    "border.available": lambda r: strips_from_length(r["fabric"], r["strip"]) * r["usable"],
    "border.butt_top": lambda r: (
        border(r["width_unfinished"], Fraction(60), r["border_finished"]).pieces[1].width
    ),
    "border.mitre": _mitred,
    "border.spacer": lambda r: sashing_cut(spacer_width(r["length"], r["unit"])),
    "border.strips": lambda r: strips_to_join(r["total"], r["usable"]),
    "border.total": lambda r: border_length(r["width"], r["length"], r["corner_add"]),
    "convert.in_mm": lambda r: r["inches"] * CENTIMETRES_PER_INCH * 10,
    "convert.yard_in": lambda r: parse_length(f"{r['yards']} yd"),
    "convert.yard_m": lambda r: parse_length(f"{r['yards']} yd") * CENTIMETRES_PER_INCH / 100,
    "grid.count": lambda r: Layout(int(r["down"]), int(r["across"]), Fraction(1)).blocks,
    "grid.finished": _grid,
    "grid.fit": lambda r: grid_fit(r["length"], r["finished"]),
    "onpoint.block_plus_sashing": lambda r: (
        Layout(1, 2, r["block"], sashing=r["sashing"]).width - r["block"]
    ),
    "onpoint.corner_sashed": _corner_sashed,
    "onpoint.corner_half_posts": lambda r: _half_posts(r)[CORNER_SQUARE].width,
    "onpoint.half_post_square": lambda r: _half_posts(r)[HALF_POST_SQUARE].width,
    "onpoint.posts_half": lambda r: half_post_count(_on_point(r)),
    "onpoint.posts_whole": lambda r: _half_posts(r)["post"].count,
    "onpoint.side_half_posts": lambda r: _half_posts(r)[SIDE_SQUARE].width,
    "precut.mixed": _mixed,
    "precut.number": _precuts,
    "sash.cornerstones": lambda r: post_count(_of_posts(r)),
    "sash.cut": lambda r: sashing_cut(r["finished"]),
    "sash.max_width": lambda r: widest_sashing(r["block"]),
    "sash.strips": lambda r: strip_count(_of_posts(r)),
    "sash.top_inner": lambda r: _size(_layout(r)),
    "sash.top_outer": lambda r: _size(_layout(r, outer=True)),
    "sash.with_border": _bordered,
    "sleeve.strip": lambda r: sleeve_piece(Fraction(80), r["depth"]).length,
    "shrink.make_size": lambda r: before_shrinking(r["wanted"], r["rate"]),
    "shrink.percent": lambda r: shrunk_percent(r["before"], r["after"]),
    "strip.blocks": lambda r: pieces_per_strip(r["block"], r["usable"]),
    "yardage.inches": _whole_strips,
    "yardage.strips": lambda r: strips_for_pieces(int(r["pieces"]), int(r["per_strip"])),
    "yardage.yards": _cut_yards,
    "yield.per_strip": lambda r: pieces_per_strip(r["size"], r["width"]),
    "yield.squares": lambda r: pieces_from_cloth(r["size"], r["size"], r["width"], r["length"]),
    "yield.strips": lambda r: strips_from_length(r["length"], r["size"]),
}

COLOUR = "a judgement or a standard of colour, no length of cloth"
SAFETY = "advice to the quilter's body and tools, shown and not computed"
NOT_ASSERTED = {
    "backing.per_side": "sources differ; 4 a side is followed (a test below)",
    "backing.yards": "a list by bed without the quilt's size; the plan works from the size",
    "batting.extra_total": "sources differ, 4 to 12 in all; 4 a side is followed",
    "batting.package": "a list; a test below finds each in ours",
    "binding.extra": "sources differ; 10 is followed, joins being counted (a test below)",
    "binding.usable_width": "sources differ; 40 is followed (a test below)",
    "border.extra": "sources differ; 1 at a 1/4 in seam is followed (a test below)",
    "border.four_lengthwise": "a yes or no; a test below plans it",
    "colour.busy_share": COLOUR,
    "colour.contrast": COLOUR,
    "colour.grey_scale_change": COLOUR,
    "colour.name_block": COLOUR,
    "colour.name_levels": COLOUR,
    "colour.print_tolerance": COLOUR,
    "colour.threshold_acceptable": COLOUR,
    "colour.threshold_perceptible": COLOUR,
    "colour.value_steps": COLOUR,
    "colour.view_distance": COLOUR,
    "ergonomics.below_elbow": SAFETY,
    "ergonomics.break_every": SAFETY,
    "ergonomics.cutting_height": SAFETY,
    "ergonomics.reach": SAFETY,
    "mattress.size": "a list; a test below finds each in ours",
    "pinked.measure_difference": "a measurement of packs: the tool asks for the real size",
    "pinked.reference_edge": "sources differ on the edge to measure from: the user chooses",
    "pinked.square_size": "a measurement of packs: the tool asks for the real size",
    "cutting.layers": "a limit; a test below holds ours to it",
    "precut.count": "a list; a test below holds ours to it",
    "precut.usual": "a list; a test below holds ours to it",
    "precut.size": "a list; a test below holds ours to it",
    "quilt_size.bed": "a list; a test below finds each in ours",
    "quilt_size.bedspread": "a bed cover that is no quilt",
    "quilt_size.comforter": "a bed cover that is no quilt",
    "quilt_size.range": "a range over one book's patterns; single sizes are followed",
    "safety.needle_life": SAFETY,
    "safety.ruler_thickness": SAFETY,
    "shrink.rate": "a property of cloth that the user is told to test",
    "star8.block": "no eight-pointed star is among the units",
}
"""Topics of which nothing is asserted row by row, each with the reason."""


def _rows(topic=""):
    path = Path(__file__).parent / "trade_checks" / "yardage.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["topic"].startswith(topic)]


def _fields(row):
    return dict(pair.split("=", 1) for pair in row["input"].split(";"))


def _numbers(text):
    found = tuple(Fraction(part.strip()) for part in text.split(" x "))
    return found if len(found) > 1 else found[0]


def _each(ours, other, holds):
    pairs = zip(ours, other, strict=True) if isinstance(ours, tuple) else [(ours, other)]
    return all(holds(a, b) for a, b in pairs)


HOLDS = {
    "rule": lambda ours, printed: abs(ours - printed) <= PRINTED,
    "geometry": lambda ours, printed: abs(ours - printed) <= PRINTED,
    "disputed": lambda ours, arithmetic: abs(ours - arithmetic) <= PRINTED,
    "trim": lambda ours, printed: ours >= printed,
    "oversize": lambda ours, printed: ours <= printed,
    "conservative": lambda ours, printed: ours >= printed,
}


@pytest.mark.parametrize(
    "row", [row for row in _rows() if row["topic"] in OURS], ids=lambda row: row["id"]
)
def test_agrees_with_the_published_example(row):
    ours = OURS[row["topic"]]({key: Fraction(value) for key, value in _fields(row).items()})
    tag = re.match(r"\[(\w+)\]", row["note"])[1]
    printed = row["expected"]
    arithmetic = re.search(r"arithmetic=([0-9.]*[0-9](?: x [0-9.]*[0-9])?)", row["note"])
    if tag == "disputed":
        printed = arithmetic[1]
    assert _each(ours, _numbers(printed), HOLDS[tag])
    if arithmetic:
        assert _each(ours, _numbers(arithmetic[1]), HOLDS["rule"])


def test_every_row_is_checked_or_listed_with_a_reason():
    topics = {row["topic"] for row in _rows()}
    assert topics == set(OURS) | set(NOT_ASSERTED)
    assert not set(OURS) & set(NOT_ASSERTED)
    tags = {row["note"].split("]")[0] for row in _rows() if row["topic"] in NOT_ASSERTED}
    rules = [row["topic"] for row in _rows() if row["note"].startswith("[rule]")]
    assert tags <= {"[fact", "[range", "[rule"}
    assert [topic for topic in rules if topic in NOT_ASSERTED] == ["star8.block"]


def test_every_example_names_its_source():
    assert all(row["source_title"] for row in _rows())
    unlinked = {row["source_title"] for row in _rows() if not row["source_url"]}
    assert unlinked == {"common practice"}


def test_what_is_followed_where_sources_differ_is_in_a_source():
    def printed(topic):
        return {Fraction(row["expected"]) for row in _rows(topic) if "-" not in row["expected"]}

    assert ENDS_ALLOWANCE in printed("binding.extra")
    assert mitre_seams(Fraction(1, 4)) + MITRE_SAFETY in printed("border.extra")
    assert USABLE_WIDTH in printed("binding.usable_width")
    low, high = next(
        map(Fraction, row["expected"].split("-")) for row in _rows() if row["id"] == "BK015"
    )
    assert low <= OVERHANG <= high


def test_lists_of_sizes_are_the_published_ones():
    rows = {row["id"]: row for row in _rows() if row["topic"] == "quilt_size.bed"}
    ours = {size.source: size for size in USUAL_SIZES if size.source != "common practice"}
    assert set(rows) == set(ours)
    for row in rows.values():
        size = ours[row["id"]]
        assert (size.name, size.width, size.length) == (
            _fields(row)["bed"],
            *_numbers(row["expected"]),
        )
    packages = {tuple(map(int, _numbers(row["expected"]))) for row in _rows("batting.package")}
    assert packages == set(PACKAGES)
    for row in _rows("mattress.size"):
        if row["id"] != "SZ032":  # 36 in wide in one list, 39 in others
            assert MATTRESSES[_fields(row)["bed"]] == _numbers(row["expected"])


def test_precuts_are_no_larger_than_any_published_size():
    ours = {precut.name: precut for precut in PRECUTS}
    for row in _rows("precut.size"):
        precut = ours[_fields(row)["item"].replace("square", "5 in square")]
        small, large = sorted((precut.width, precut.length))
        printed = sorted(_numbers(row["expected"]))
        assert small == printed[0]
        assert large <= printed[1]
    counts = {ours[name].usual_count for name in ("5 in square", "10 in square", "2 1/2 in strip")}
    assert counts == {
        int(row["expected"])
        for row in _rows("precut.count")
        if re.match("(5|10) inch squares|2 1/2 inch strips", _fields(row)["item"])
        and "-" not in row["expected"]
    }


def test_usual_packs_and_layers_are_the_published_ones():
    for row in _rows("precut.usual"):
        assert find_precut(_fields(row)["item"]).usual_count == int(row["expected"])
    for row in _rows("cutting.layers"):
        assert int(row["expected"].split("-")[-1]) == MAX_LAYERS


def test_four_wide_borders_do_not_fit_lengthwise_side_by_side():
    # BR016: 4 borders of 12 in are over 42 in, so twice their length is needed.
    cloth = Bolt(usable_width=Fraction(42))
    four = strip_plan([Piece("border", Fraction(12), Fraction(90), 4)], cloth, join=False)
    three = strip_plan([Piece("border", Fraction(12), Fraction(90), 3)], cloth, join=False)
    assert (three.length, four.length) == (90, 180)
