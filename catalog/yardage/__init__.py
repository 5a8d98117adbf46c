"""Fabric to buy and strips to cut: exact arithmetic of cloth by the yard."""

from catalog.yardage.borders import Border, border, border_length, borders
from catalog.yardage.cloth import (
    Cloth,
    Purchase,
    before_shrinking,
    buy,
    show_yards,
    shrunk_percent,
    yards,
)
from catalog.yardage.joining import Joined
from catalog.yardage.plan import Cut, Strip, StripPlan, strip_plan
from catalog.yardage.strips import (
    join_loss,
    joined_length,
    pieces_from_cloth,
    pieces_per_strip,
    strips_for_pieces,
    strips_from_length,
    strips_to_join,
)
