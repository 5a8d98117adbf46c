"""How the quilt of a pattern file is built: block, sashing, borders, binding."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.quilt import (
    QUARTER_TURN,
    Block,
    PieceKind,
    Quilt,
    Sashing,
)
from catalog.lengths import show_length
from catalog.pattern.cloth_names import shared_cloth
from catalog.pattern.pattern_block import BLOCK_FIELDS, MAX_WIDTH, MIN_WIDTH, Sides, block_of
from catalog.pattern.pattern_borders import BORDER_FIELDS, borders_of, strip_unit
from catalog.pattern.pattern_cloths import (
    CLOTH_FIELDS,
    check_cloths,
    read_cloths,
    with_directions,
)
from catalog.pattern.pattern_finishing import FINISHING_FIELDS, binding_of, finishing_of
from catalog.pattern.pattern_fit import check_fit
from catalog.pattern.pattern_map import SETS, block_tables, map_of, marks_of
from catalog.pattern.toml_table import TomlTable

EDGE_POSTS: Final = ("whole", "half")
_OF_POSTS: Final = ("post_piece", "post_cloth", "edge_posts")
MAX_WRITTEN_SEAM: Final = Fraction(1)
MIN_WRITTEN_SEAM: Final = Fraction(1, 16)
QUILT_FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "layout": ("set", "seam", "turn_rows", "turn_columns", "edge_cloth", "alternate", "map"),
    **BLOCK_FIELDS,
    "sashing": (
        "width",
        "posts",
        "outer",
        "post_piece",
        "cloth",
        "post_cloth",
        "edge_posts",
        "pieced",
        "fabrics",
    ),
    **BORDER_FIELDS,
    **FINISHING_FIELDS,
    "cloth": CLOTH_FIELDS,
}
"""The fields of each table; those of [layout] come beside its others."""


def quilt_of(
    top: TomlTable,
    layout: TomlTable,
    rows: int,
    columns: int,
    finished: Sides,
    kinds: Sequence[PieceKind],
) -> Quilt:
    """Read how the quilt is built.

    Parameters
    ----------
    top, layout : TomlTable
        The file and its [layout]; there is a [block].
    rows, columns : int
    finished : (Fraction, Fraction)
        Width and length of the finished block, inches.
    kinds : sequence of PieceKind
        What the file's pieces are.

    Raises
    ------
    PatternError
        With the line and the field that is wrong.
    """
    tables = block_tables(top)
    blocks = tuple(
        block_of(table, kinds, number, mark, finished)
        for number, (table, mark) in enumerate(zip(tables, marks_of(tables), strict=True))
    )
    seam = QUARTER_SEAM
    if "seam" in layout:
        seam = layout.length("seam", MIN_WRITTEN_SEAM, MAX_WRITTEN_SEAM)
    how = layout.choice("set", SETS, SETS[0])
    quilt = Quilt(
        rows,
        columns,
        finished[0],
        blocks[0],
        with_directions(top, kinds),
        seam,
        how == "on point",
        _turn(layout, "turn_rows"),
        _turn(layout, "turn_columns"),
        _sashing(top, kinds, how),
        borders_of(top, kinds),
        binding_of(top, kinds, seam),
        _edge_cloth(layout, kinds, how),
        read_cloths(top),
        blocks[1:],
        map_of(top, layout),
        how == "offset rows",
        finishing_of(top, kinds),
    )
    check_cloths(top, quilt)
    for table, block in zip(tables, blocks, strict=True):
        _check_trims(table, quilt, block)
    check_fit(layout, tables, top, quilt)
    return quilt


def _turn(layout: TomlTable, key: str) -> int:
    turn = layout.whole(key, 270, 360) if key in layout else 0
    if turn % QUARTER_TURN:
        near = round(turn / QUARTER_TURN) * QUARTER_TURN % 360
        edit = layout.put(key, near or None)
        layout.refuse(key, f"{turn} is no quarter turn", "write 90, 180 or 270", edit)
    return turn


def _check_trims(table: TomlTable, quilt: Quilt, block: Block) -> None:
    """Refuse a trim size that doesn't sew up to the block's size."""
    cell = quilt.finished_block / block.across
    for one, unit in zip(table.tables("unit"), block.units, strict=True):
        unfinished = cell * unit.wide + 2 * quilt.seam
        if unit.trim is not None and unit.trim != unfinished:
            problem = f"trimmed to that it finishes at {unit.trim - 2 * quilt.seam} in"
            cure = f"write {unfinished}, or change finished_block, grid or seam"
            asked = f"{problem}, and the block asks for {cell * unit.wide}"
            near = show_length(unfinished, step=None, mark=False)
            one.refuse("trim", asked, cure, one.put("trim", near))


def _edge_cloth(layout: TomlTable, kinds: Sequence[PieceKind], how: str) -> str:
    """Read what fills up the quilt's edges is cut from."""
    if how == "straight" and "edge_cloth" in layout:
        problem, gone = "blocks set straight leave no edges to fill", layout.put("edge_cloth", None)
        layout.refuse("edge_cloth", problem, "leave it out", gone)
    return shared_cloth(layout, "edge_cloth", kinds)


def _sashing(top: TomlTable, kinds: Sequence[PieceKind], how: str) -> Sashing | None:
    if "sashing" not in top:
        return None
    table = top.table("sashing")
    table.only(QUILT_FIELDS["sashing"])
    posts = table.flag("posts", True)
    if how == "on point" and not posts:
        edit = table.put("posts", True)
        table.refuse("posts", "sashing on point needs posts", "write posts = true", edit)
    if how == "offset rows" and posts:
        problem = "posts have no place between rows that are offset"
        near = (table.put("posts", False), *(table.put(key, None) for key in _OF_POSTS))
        table.refuse("posts", problem, "write posts = false", *near)
    post_kind = table.text("post_piece") if "post_piece" in table else None
    if post_kind is not None:
        if not posts:
            cure, gone = "write posts = true, or leave it out", table.put("post_piece", None)
            table.refuse("post_piece", "there are no posts", cure, gone)
        if post_kind not in {kind.name for kind in kinds if kind.per_block is None}:
            problem = f'"{post_kind}" is no piece that is counted in all'
            gone = table.put("post_piece", None)
            table.refuse("post_piece", problem, "name a piece with in_all", gone)
    outer = table.flag("outer", False)
    cloth, post_cloth = (shared_cloth(table, key, kinds) for key in ("cloth", "post_cloth"))
    if post_cloth and (post_kind or not posts):
        problem = f"the posts are {post_kind}" if post_kind else "there are no posts"
        table.refuse("post_cloth", problem, "leave it out", table.put("post_cloth", None))
    width = table.length("width", MIN_WIDTH, MAX_WIDTH)
    halved = table.choice("edge_posts", EDGE_POSTS, EDGE_POSTS[0]) == "half"
    if halved and how != "on point":
        problem, gone = "only a quilt on point has posts to halve", table.put("edge_posts", None)
        table.refuse("edge_posts", problem, "leave it out", gone)
    pieced, fabrics = strip_unit(table, kinds, posts=posts)
    return Sashing(width, posts, outer, post_kind, cloth, post_cloth, halved, pieced, fabrics)
