"""How the quilt of a pattern file is built: block, sashing, borders, binding."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, cast, get_args

from catalog.cutting.customary import QUARTER_SEAM
from catalog.cutting.quilt import (
    QUARTER_TURN,
    Block,
    BlockUnit,
    PieceKind,
    Quilt,
    QuiltBinding,
    QuiltBorder,
    Sashing,
)
from catalog.cutting.quilt_units import method_of
from catalog.cutting.unit_faces import FACES
from catalog.cutting.yardage.binding import Grain
from catalog.cutting.yardage.borders import Corners
from catalog.pattern.pattern_block import BLOCK_FIELDS, MAX_WIDTH, MIN_WIDTH, Sides, block_of
from catalog.pattern.pattern_cloths import check_cloths, read_cloths, with_directions
from catalog.pattern.pattern_fit import check_fit
from catalog.pattern.pattern_map import SETS, block_tables, map_of, marks_of
from catalog.pattern.toml_table import TomlTable

MAX_BORDERS: Final = 12
MAX_BORDER_FABRICS: Final = 4
MAX_FABRIC_NAME: Final = 40
MAX_WRITTEN_SEAM: Final = Fraction(1)
MIN_WRITTEN_SEAM: Final = Fraction(1, 16)
QUILT_FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "layout": ("set", "seam", "turn_rows", "turn_columns", "edge_cloth", "alternate", "map"),
    **BLOCK_FIELDS,
    "sashing": ("width", "posts", "outer", "post_piece", "cloth", "post_cloth"),
    "border": ("width", "corners", "pieced", "fabrics"),
    "binding": ("strip", "cut", "cloth"),
    "cloth": ("name", "sold_as", "directional"),
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
        _borders(top, kinds),
        _binding(top, kinds),
        _edge_cloth(layout, kinds, how),
        read_cloths(top),
        blocks[1:],
        map_of(top, layout),
        how == "offset rows",
    )
    check_cloths(top, quilt)
    for table, block in zip(tables, blocks, strict=True):
        _check_trims(table, quilt, block)
    check_fit(layout, tables, top, quilt)
    return quilt


def cloth_of(table: TomlTable, key: str = "cloth") -> str:
    """Read the name of a cloth that is bought by the yard."""
    return table.text(key, longest=MAX_FABRIC_NAME)


def _shared_cloth(table: TomlTable, key: str, kinds: Sequence[PieceKind]) -> str:
    """Read what something beside the blocks is cut from; empty for a cloth of its own."""
    if key not in table:
        return ""
    name = cloth_of(table, key)
    if name in _owned(kinds):
        problem = f'"{name}" is squares of the bundle, and this is cut from yardage'
        table.refuse(key, problem, "name another cloth")
    return _cloth_named(name, kinds)


def _owned(kinds: Sequence[PieceKind]) -> set[str]:
    """Return the names of pieces that are cut from squares."""
    return {kind.name for kind in kinds if kind.source != "yardage"}


def _cloth_named(name: str, kinds: Sequence[PieceKind]) -> str:
    """Return the cloth that a name means: one of its own, or the one that a piece is cut from."""
    return next((kind.cut_from for kind in kinds if kind.name == name), name)


def _turn(layout: TomlTable, key: str) -> int:
    turn = layout.whole(key, 270, 360) if key in layout else 0
    if turn % QUARTER_TURN:
        layout.refuse(key, f"{turn} is no quarter turn", "write 90, 180 or 270")
    return turn


def _check_trims(table: TomlTable, quilt: Quilt, block: Block) -> None:
    """Refuse a trim size that doesn't sew up to the block's size."""
    cell = quilt.finished_block / block.across
    for one, unit in zip(table.tables("unit"), block.units, strict=True):
        unfinished = cell * unit.wide + 2 * quilt.seam
        if unit.trim is not None and unit.trim != unfinished:
            problem = f"trimmed to that it finishes at {unit.trim - 2 * quilt.seam} in"
            cure = f"write {unfinished}, or change finished_block, grid or seam"
            one.refuse("trim", f"{problem}, and the block asks for {cell * unit.wide}", cure)


def _edge_cloth(layout: TomlTable, kinds: Sequence[PieceKind], how: str) -> str:
    """Read what fills up the quilt's edges is cut from."""
    if how == "straight" and "edge_cloth" in layout:
        layout.refuse("edge_cloth", "blocks set straight leave no edges to fill", "leave it out")
    return _shared_cloth(layout, "edge_cloth", kinds)


def _sashing(top: TomlTable, kinds: Sequence[PieceKind], how: str) -> Sashing | None:
    if "sashing" not in top:
        return None
    table = top.table("sashing")
    table.only(QUILT_FIELDS["sashing"])
    posts = table.flag("posts", True)
    if how == "on point" and not posts:
        table.refuse("posts", "sashing on point needs posts", "write posts = true")
    if how == "offset rows" and posts:
        problem = "posts have no place between rows that are offset"
        table.refuse("posts", problem, "write posts = false")
    post_kind = table.text("post_piece") if "post_piece" in table else None
    if post_kind is not None:
        if not posts:
            table.refuse("post_piece", "there are no posts", "write posts = true, or leave it out")
        if post_kind not in {kind.name for kind in kinds if kind.per_block is None}:
            problem = f'"{post_kind}" is no piece that is counted in all'
            table.refuse("post_piece", problem, "name a piece with in_all")
    outer = table.flag("outer", False)
    cloth, post_cloth = (_shared_cloth(table, key, kinds) for key in ("cloth", "post_cloth"))
    if post_cloth and (post_kind or not posts):
        problem = f"the posts are {post_kind}" if post_kind else "there are no posts"
        table.refuse("post_cloth", problem, "leave it out")
    width = table.length("width", MIN_WIDTH, MAX_WIDTH)
    return Sashing(width, posts, outer, post_kind, cloth, post_cloth)


def _borders(top: TomlTable, kinds: Sequence[PieceKind]) -> tuple[QuiltBorder, ...]:
    borders = []
    for table in top.tables("border"):
        table.only(QUILT_FIELDS["border"])
        corners = cast("Corners", table.choice("corners", get_args(Corners), "butted"))
        pieced = None
        if "pieced" in table:
            pieced = table.choice("pieced", tuple(FACES))
            if method_of(BlockUnit("", pieced, None, ())).aspect != 1 or pieced == "rectangle":
                table.refuse("pieced", f"a {pieced} is not square", "name a unit that is square")
            if corners == "mitred":
                table.refuse("corners", "a pieced border can't be mitred", 'write "posts"')
        fabrics = _border_fabrics(table, pieced, kinds) if "fabrics" in table else ()
        width = table.length("width", MIN_WIDTH, MAX_WIDTH)
        borders.append(QuiltBorder(width, corners, pieced, fabrics))
    if len(borders) > MAX_BORDERS:
        top.refuse("border", f"{len(borders)} borders are too many", f"plan {MAX_BORDERS}")
    return tuple(borders)


def _border_fabrics(
    table: TomlTable, pieced: str | None, kinds: Sequence[PieceKind]
) -> tuple[str, ...]:
    """Read what a border's parts are cut from: cloth that is bought, for the blocks too or not."""
    parts = len(FACES[pieced]) if pieced else 1
    names = table.texts("fabrics", MAX_BORDER_FABRICS)
    if len(names) != parts:
        has = f"a {pieced} has {parts} part{'s' if parts > 1 else ''}" if pieced else "it is plain"
        table.refuse("fabrics", f"{has}, not {len(names)} fabrics", "name one fabric for each part")
    owned = _owned(kinds)
    for name in names:
        if not name or len(name) > MAX_FABRIC_NAME or not name.isprintable():
            problem = f"a fabric's name is not one line of 1 to {MAX_FABRIC_NAME} signs"
            table.refuse("fabrics", problem, "shorten it or write something there")
        if name in owned:
            problem = f'"{name}" is squares of the bundle, and a border is cut from yardage'
            table.refuse("fabrics", problem, "name another fabric")
    return tuple(_cloth_named(name, kinds) for name in names)


def _binding(top: TomlTable, kinds: Sequence[PieceKind]) -> QuiltBinding | None:
    if "binding" not in top:
        return None
    table = top.table("binding")
    table.only(QUILT_FIELDS["binding"])
    grain = cast("Grain", table.choice("cut", get_args(Grain), "straight"))
    strip = table.length("strip", Fraction(1), Fraction(6))
    return QuiltBinding(strip, grain, _shared_cloth(table, "cloth", kinds))
