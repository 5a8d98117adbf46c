"""Borders of a pattern file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, cast, get_args

from catalog.cutting.quilt import BlockUnit, PieceKind, QuiltBorder
from catalog.cutting.quilt_units import method_of
from catalog.cutting.unit_faces import FACES
from catalog.cutting.units.units_by_name import find_unit, unit_name
from catalog.cutting.yardage.borders import Corners, StripGrain
from catalog.errors import CalicountError
from catalog.pattern.cloth_names import MAX_FABRIC_NAME, cloth_named, owned_names, shared_cloth
from catalog.pattern.data.field_edits import FieldEdit
from catalog.pattern.pattern_block import MAX_WIDTH, MIN_WIDTH
from catalog.pattern.pattern_map import MAX_PARTS
from catalog.pattern.toml_table import TomlTable

MAX_BORDERS: Final = 12
BORDER_FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "border": ("width", "corners", "pieced", "fabrics", "cut", "spacer", "post_cloth"),
}


def borders_of(top: TomlTable, kinds: Sequence[PieceKind]) -> tuple[QuiltBorder, ...]:
    """Read the borders, from the inside."""
    borders = []
    for table in top.tables("border"):
        table.only(BORDER_FIELDS["border"])
        corners = cast("Corners", table.choice("corners", get_args(Corners), "butted"))
        pieced = None
        if "pieced" in table:
            pieced = _unit_of_border(table)
            if method_of(BlockUnit("", pieced, None, ())).aspect != 1 or find_unit(pieced).reshaped:
                table.refuse("pieced", f"a {pieced} is not square", "name a unit that is square")
            if corners == "mitred":
                problem, edit = "a pieced border can't be mitred", table.put("corners", "posts")
                table.refuse("corners", problem, 'write "posts"', edit)
        fabrics = _border_fabrics(table, pieced, kinds) if "fabrics" in table else ()
        one = QuiltBorder(table.length("width", MIN_WIDTH, MAX_WIDTH), corners, pieced, fabrics)
        borders.append(_as_cut(table, one, kinds))
    if len(borders) > MAX_BORDERS:
        problem, last = f"{len(borders)} borders are too many", ("border", len(borders) - 1)
        top.refuse("border", problem, f"plan {MAX_BORDERS}", FieldEdit(last, None))
    return tuple(borders)


def _as_cut(table: TomlTable, one: QuiltBorder, kinds: Sequence[PieceKind]) -> QuiltBorder:
    """Read how a border's strips are cut, its spacer and the cloth of its posts."""
    grain = cast("StripGrain", table.choice("cut", get_args(StripGrain), "crosswise"))
    if one.pieced and grain == "lengthwise":
        gone = table.put("cut", None)
        table.refuse("cut", "a pieced border has no strips", "leave it out", gone)
    spacing, posts = (shared_cloth(table, key, kinds) for key in ("spacer", "post_cloth"))
    if spacing and not one.pieced:
        cure, gone = "leave it out, or write pieced", table.put("spacer", None)
        table.refuse("spacer", "plain strips fit as they are", cure, gone)
    if posts and one.corners != "posts":
        cure, gone = 'write corners = "posts"', table.put("post_cloth", None)
        table.refuse("post_cloth", "this border has no posts", cure, gone)
    return replace(one, strips=grain, spacer=spacing, post_cloth=posts)


def _unit_of_border(table: TomlTable) -> str:
    """Read the unit that a border is pieced of."""
    text = table.text("pieced")
    try:
        name = unit_name(text)
    except CalicountError as error:
        table.refuse("pieced", error.problem, error.cure)
    if name not in FACES:
        cure = "use one that blocks can hold; calicount size --help lists them first"
        table.refuse("pieced", f"a {name} is no part of a border", cure)
    return name


def strip_unit(
    table: TomlTable, kinds: Sequence[PieceKind], *, posts: bool
) -> tuple[str | None, tuple[str, ...]]:
    """Read the unit that sashing is pieced of, and its fabrics; None and none of plain strips."""
    if "pieced" not in table:
        if "fabrics" in table:
            problem, gone = "plain strips have one cloth", table.put("fabrics", None)
            table.refuse("fabrics", problem, "write cloth, or pieced", gone)
        return None, ()
    name = _unit_of_border(table)
    if find_unit(name).reshaped is None:
        cure = "name one whose two sides are free, such as pieced-sashing or star-sashing"
        table.refuse("pieced", f"a {name} has a shape of its own", cure)
    if not posts:
        edit = table.put("posts", True)
        table.refuse("pieced", "pieced strips end at posts", "write posts = true", edit)
    if "cloth" in table:
        gone = table.put("cloth", None)
        table.refuse("cloth", "pieced strips have several", "write fabrics instead", gone)
    return name, _border_fabrics(table, name, kinds) if "fabrics" in table else ()


def _border_fabrics(
    table: TomlTable, pieced: str | None, kinds: Sequence[PieceKind]
) -> tuple[str, ...]:
    """Read what a border's parts are cut from: cloth that is bought, for the blocks too or not."""
    told = table.texts("fabrics", MAX_PARTS)
    names = find_unit(pieced).for_each_part(told) if pieced else told if len(told) == 1 else None
    if names is None:
        has = f"a {pieced} has {find_unit(pieced).fabrics_wanted}" if pieced else "it is plain"
        problem, gone = f"{has}, not {len(told)} fabrics", table.put("fabrics", None)
        table.refuse("fabrics", problem, "name one fabric for each part", gone)
    owned = owned_names(kinds)
    for name in names:
        if not name or len(name) > MAX_FABRIC_NAME or not name.isprintable():
            problem = f"a fabric's name is not one line of 1 to {MAX_FABRIC_NAME} signs"
            table.refuse("fabrics", problem, "shorten it or write something there")
        if name in owned:
            problem = f'"{name}" is squares of the bundle, and a border is cut from yardage'
            table.refuse("fabrics", problem, "name another fabric")
    return tuple(cloth_named(name, kinds) for name in names)
