"""A plan to what a device on the table shows of it: as on the page, and how each block is sewn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from catalog.report.pages.plan_sections import pressing_of
from cli.page.plan_view import plan_view

if TYPE_CHECKING:
    from collections.abc import Iterator

    from catalog.catalogue.records import StoredBundle
    from catalog.cutting.plans import WallBlock
    from cli.page.routes.plan_routes import Plan

View = dict[str, Any]


def sewing_view(kept: StoredBundle, plan: Plan) -> View:
    """Return a plan with each block's pieces, where each goes, and every seam's pressing."""
    view = plan_view(kept, plan)
    if view["wall"] is None or plan.planned is None:
        return view
    hung = plan.planned.wall.blocks
    blocks = [
        {**shown, "pieces": list(_pieces(block, kept)), "pressing": list(pressing_of(block))}
        for shown, block in zip(view["wall"]["blocks"], hung, strict=True)
    ]
    return {**view, "wall": {**view["wall"], "blocks": blocks}}


def _pieces(block: WallBlock, kept: StoredBundle) -> Iterator[View]:
    """Yield the squares of a block, what each is in it and where it goes as it hangs."""
    goes = dict(block.pieces)
    named = {block.darker: "darker", block.lighter: "lighter"}
    own = dict.fromkeys(label for _, label in block.squares)
    small = dict.fromkeys(label for _, labels in block.scraps for label in labels)
    upright = set(block.one_way) - set(block.on_side)
    for label in {**own, **small}:
        yield _piece(kept, label, named.get(label, ""), goes.get(label, ""), label in upright)
    for corner, label in block.posts_go:
        yield _piece(kept, label, "post", corner, upright=False)


def _piece(kept: StoredBundle, label: str, what: str, goes: str, upright: bool) -> View:
    return {"square": kept.by_label[label].id, "what": what, "goes": goes, "upright": upright}
