"""A count carried out, in words or as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from json import loads
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from cli import console, wording
from cli.counting.count_plan import finishing_wanting, plan_lines, plan_object, unplanned_lines
from cli.reference_words import CURE, CURE_KEPT, page_lines, reference_lines

if TYPE_CHECKING:
    from cli.counting.count_run import WrittenCount
    from cli.options import Manner

NOTHING: Final[Mapping[str, Any]] = MappingProxyType({})


def tell_count(
    done: WrittenCount,
    manner: Manner,
    first: Sequence[str] = (),
    more: Mapping[str, Any] = NOTHING,
) -> None:
    """Say what was counted and written, or print it as JSON.

    Parameters
    ----------
    done : WrittenCount
    manner : Manner
    first : sequence of str
        Lines to put before the others.
    more : mapping
        Further members of the JSON object.
    """
    request, result, planned = done.request, done.result, done.planned
    if manner.json:
        console.say_json(_as_json(done, more))
    if manner.json or manner.quiet:
        return
    seen = {one.photo.name: one.found for one in result.bundle.photos}
    cure = CURE if request.photos else CURE_KEPT
    told = (
        *wording.bundle_lines(result.bundle),
        *reference_lines(result.bundle.swatches, request.side, cure=cure, photos=seen),
        *page_lines(seen),
    )
    for line in (*first, *told, *wording.set_lines(result)):
        console.tell(line)
    console.say("")
    console.table(result.tally.title, wording.TALLY_COLUMNS, wording.tally_rows(result), words=2)
    console.say("")
    tally = wording.tally_lines(
        result.tally, asked=request.asks_number, wanting=finishing_wanting(planned, result)
    )
    plan = plan_lines(planned, result) if planned else unplanned_lines(request)
    for line in (*tally, *result.notes, *plan):
        console.tell(line)
    console.say("")
    console.say(f"Written to the folder {done.folder}:")
    for line in wording.file_lines(path.name for path in done.written):
        console.say(line)


def _as_json(done: WrittenCount, more: Mapping[str, Any]) -> str:
    from catalog.report.tables.json_object import json_object

    result = done.result
    photos = result.bundle.photos
    text = json_object(
        [one.photo for one in photos],
        result.bundle.swatches,
        lights={one.photo.name: one.light for one in photos if one.light},
        found={one.photo.name: one.found for one in photos},
        matching=replace(result.matching, sets=result.sets),
        tally=result.tally,
        plan=plan_object(done.planned) if done.planned else None,
        files=[str(path) for path in done.written],
    ).rstrip("\n")
    return console.json_text({**loads(text), "notes": list(result.notes), **more})
