"""What ``count`` and ``demo`` share: an order carried out, written and told."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from catalog.errors import OutputError, UsageError
from cli import console
from cli.order import Order, hints_of, needs_of, rules_of, side_of
from cli.planning import (
    CUT_FILES,
    WALL_FILES,
    plan,
    plan_contents,
    plan_lines,
    unplanned_lines,
    wish_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from catalog.pipeline import Count
    from catalog.planning import Planned
    from cli.planning import Wish

STILL_A_MATCH = 10.0
"""CIEDE2000 up to which a set counts for the tally where the user names no tolerance: from here on
two colours are clearly different (ISO 105-A02 puts grade 1-2 of 5 there)."""
CSV_FILES = ("swatches.csv", "sets.csv", "tally.csv", *CUT_FILES, *WALL_FILES)
PICTURE = re.compile(r"found(-[0-9]+)?\.jpg")
"""Names that `_picture_names` gives."""
_OTHER_FOLDER = "name another folder with --out"


def run_count(order: Order) -> bool:
    """Carry an order out.

    Returns
    -------
    bool
        Whether the bundle falls short.
    """
    from catalog.report.files import fresh_folder, refuse_taken, write_files

    rules, side = rules_of(order), side_of(order.square)
    title, needs = needs_of(order)
    wish = wish_of(order)
    folder = order.out or fresh_folder(Path(order.default_folder))
    _check_folder(folder)
    names = _ours(folder, len(order.photos))
    if not order.replace:
        refuse_taken(folder, names)
    _check_photos(order.photos)
    with console.progress() as tell:
        _import_beside("sklearn.cluster")
        from catalog import pipeline

        bundle = pipeline.catalogue(
            order.photos, float(side), order.families, tell, hints_of(order)
        )
        within = STILL_A_MATCH if order.tolerance is None else order.tolerance
        result = pipeline.count(bundle, title, needs, rules, tell, only_within=within)
        planned = None
        if wish is not None:
            tell("planning the quilt")
            planned = plan(wish, result, rules, within)
        tell("writing the files")
        contents = _contents(result, planned)
        written = write_files(folder, contents, ours=names, replace=order.replace)
    _tell(order, wish, result, planned, folder, written)
    return not result.tally.enough


def _import_beside(module: str) -> None:
    """Begin to import a slow module that is wanted late, while photos are decoded and looked at."""
    Thread(target=import_module, args=(module,), daemon=True).start()


def _ours(folder: Path, photos: int) -> tuple[str, ...]:
    """Name the files that are written, and pictures that an earlier run of more photos left."""
    earlier = sorted(
        path.name for path in folder.glob("found-*.jpg") if PICTURE.fullmatch(path.name)
    )
    return tuple(dict.fromkeys((*CSV_FILES, *_picture_names(photos), *earlier)))


def _check_folder(folder: Path) -> None:
    """Refuse a folder that can't be made or written to before the work begins."""
    try:
        nearest = next(place for place in (folder, *folder.absolute().parents) if place.exists())
    except (OSError, ValueError) as error:
        raise OutputError(f"'{folder}' can't be a folder's name", _OTHER_FOLDER) from error
    if not nearest.is_dir():
        raise OutputError(f"'{nearest}' is a file, not a folder", _OTHER_FOLDER)
    if not os.access(nearest, os.W_OK):
        raise OutputError(f"the folder '{nearest}' may not be written to", _OTHER_FOLDER)


def _check_photos(photos: Sequence[Path]) -> None:
    """Refuse what needs no decoding to be refused: no photo there, or one named twice."""
    from catalog.photo import read_photo

    seen: set[Path] = set()
    for photo in photos:
        if not os.path.isfile(photo):  # noqa: PTH113 - a path may be too long to be asked of
            read_photo(photo)  # which knows best what to say of it
        place = photo.resolve()
        if place in seen:
            raise UsageError(f"{photo} is named twice", "name each photo of the bundle once")
        seen.add(place)


def _picture_names(count: int) -> tuple[str, ...]:
    return ("found.jpg", *(f"found-{number}.jpg" for number in range(2, count + 1)))


def _contents(result: Count, planned: Planned | None) -> Mapping[str, bytes | str]:
    from catalog.report.csv_files import sets_csv, swatches_csv, tally_csv
    from catalog.report.picture import found_jpeg

    photos = result.bundle.photos
    contents: dict[str, bytes | str] = {
        "swatches.csv": swatches_csv(result.bundle.swatches),
        "sets.csv": sets_csv(result.sets),
        "tally.csv": tally_csv(result.tally),
    }
    for name, one in zip(_picture_names(len(photos)), photos, strict=True):
        contents[name] = found_jpeg(one.photo, result.bundle.swatches, result.sets)
    if planned is not None:
        contents.update(plan_contents(planned, result))
    return contents


def _tell(
    order: Order,
    wish: Wish | None,
    result: Count,
    planned: Planned | None,
    folder: Path,
    written: Sequence[Path],
) -> None:
    from cli import wording

    if order.json:
        console.say_json(_as_json(result, planned, written))
        return
    for line in (*wording.bundle_lines(result.bundle), *wording.set_lines(result)):
        console.tell(line)
    console.say("")
    console.table(result.tally.title, wording.TALLY_COLUMNS, wording.tally_rows(result), words=2)
    console.say("")
    asked = order.pattern is not None or order.sets is not None
    for line in wording.verdict_lines(result.tally, asked=asked):
        console.tell(line)
    for line in plan_lines(planned, result) if planned else unplanned_lines(order, wish):
        console.tell(line)
    console.say("")
    console.say(f"Written to the folder {folder}:")
    for line in wording.file_lines(path.name for path in written):
        console.say(line)


def _as_json(result: Count, planned: Planned | None, written: Sequence[Path]) -> str:
    from catalog.report.json_object import json_object
    from cli.planning import plan_object

    photos = result.bundle.photos
    return json_object(
        [one.photo for one in photos],
        result.bundle.swatches,
        lights={one.photo.name: one.light for one in photos if one.light},
        cut_off={one.photo.name: one.found.cut_off for one in photos},
        matching=replace(result.matching, sets=result.sets),
        tally=result.tally,
        plan=plan_object(planned) if planned else None,
        files=[str(path) for path in written],
    ).rstrip("\n")
