"""A count carried out, in words or as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from json import loads
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from cli import console, wording
from cli.counting.count_plan import plan_lines, plan_object, unplanned_lines

if TYPE_CHECKING:
    from cli.counting.count_run import Done

NOTHING: Final[Mapping[str, Any]] = MappingProxyType({})


def tell_count(done: Done, first: Sequence[str] = (), more: Mapping[str, Any] = NOTHING) -> None:
    """Say what was counted and written, or print it as JSON.

    Parameters
    ----------
    done : Done
    first : sequence of str
        Lines to put before the others.
    more : mapping
        Further members of the JSON object.
    """
    order, result, planned = done.ready.order, done.result, done.planned
    if order.json:
        console.say_json(_as_json(done, more))
    if order.json or order.quiet:
        return
    for line in (*first, *wording.bundle_lines(result.bundle), *wording.set_lines(result)):
        console.tell(line)
    console.say("")
    console.table(result.tally.title, wording.TALLY_COLUMNS, wording.tally_rows(result), words=2)
    console.say("")
    asked = order.pattern is not None or order.sets is not None
    for line in (*wording.verdict_lines(result.tally, asked=asked), *result.notes):
        console.tell(line)
    unplanned = unplanned_lines(order, done.ready.wish)
    for line in plan_lines(planned, result) if planned else unplanned:
        console.tell(line)
    console.say("")
    console.say(f"Written to the folder {done.ready.folder}:")
    for line in wording.file_lines(path.name for path in done.written):
        console.say(line)


def _as_json(done: Done, more: Mapping[str, Any]) -> str:
    from catalog.report.tables.json_object import json_object

    result = done.result
    photos = result.bundle.photos
    text = json_object(
        [one.photo for one in photos],
        result.bundle.swatches,
        lights={one.photo.name: one.light for one in photos if one.light},
        cut_off={one.photo.name: one.found.cut_off for one in photos},
        matching=replace(result.matching, sets=result.sets),
        tally=result.tally,
        plan=plan_object(done.planned) if done.planned else None,
        files=[str(path) for path in done.written],
    ).rstrip("\n")
    return console.json_text({**loads(text), "notes": list(result.notes), **more})
