"""What ``count`` and ``demo`` share: an order carried out, written and told."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

from catalog.errors import OutputError, UsageError
from cli import console
from cli.counting.count_plan import CUT_FILES, WALL_FILES, plan, plan_contents, wish_of
from cli.counting.count_request import Order, hints_of, needs_of, rules_of, side_of
from cli.counting.count_words import tell_count

if TYPE_CHECKING:
    from catalog.models import MatchRules, Need
    from catalog.pipeline import Count
    from catalog.planning import Planned
    from cli.counting.count_plan import Wish

CSV_FILES = ("swatches.csv", "sets.csv", "tally.csv", *CUT_FILES, *WALL_FILES)
PICTURE = re.compile(r"(found|values)(-[0-9]+)?\.jpg")
"""Names that `_picture_names` gives."""
_OTHER_FOLDER = "name another folder with --out"


@dataclass(frozen=True)
class Ready:
    """An order in the library's terms, with all that can be checked before a photo is decoded."""

    order: Order
    title: str
    """Of the pattern."""
    needs: Sequence[Need]
    rules: MatchRules
    wish: Wish | None
    within: float
    """CIEDE2000 up to which a set counts."""
    folder: Path
    photos: int
    """How many are shown with what was found; 0 to write no such pictures."""
    names: tuple[str, ...]
    """Files that such a run may write."""


@dataclass(frozen=True, eq=False)
class Done:
    """An order carried out and written."""

    ready: Ready
    result: Count
    planned: Planned | None
    written: tuple[Path, ...]


Pages = Callable[
    [Ready, "Count", "Planned | None", Mapping[str, bytes | str]], Mapping[str, bytes | str]
]
"""Makes more files of a count, from it and the files made so far."""


def run_count(order: Order) -> bool:
    """Carry an order out.

    Returns
    -------
    bool
        Whether the bundle falls short.
    """
    ready = prepare(order, len(order.photos))
    _check_photos(order.photos)
    with console.progress() as tell:
        import_beside("sklearn.cluster")
        from catalog import pipeline

        bundle = pipeline.catalogue(
            order.photos, float(side_of(order.square)), order.families, tell, hints_of(order)
        )
        result = pipeline.count(
            bundle, ready.title, ready.needs, ready.rules, tell, only_within=ready.within
        )
        done = finish(ready, result, tell)
    tell_count(done)
    return not result.tally.enough


def prepare(order: Order, photos: int, more: Sequence[str] = ()) -> Ready:
    """Check an order against everything but the photos themselves.

    Parameters
    ----------
    order : Order
    photos : int
        How many are shown with what was found; 0 to write no such pictures.
    more : sequence of str
        Names of further files that will be.
    """
    from catalog.bundle.tally_notes import counted_to
    from catalog.report.output_files import fresh_folder, refuse_taken

    rules, _ = rules_of(order), side_of(order.square)
    title, needs = needs_of(order)
    wish = wish_of(order)
    needs = wish.needs if wish else needs
    folder = order.out or fresh_folder(Path(order.default_folder))
    _check_folder(folder)
    names = (*_ours(folder, photos), *more)
    if not order.replace:
        refuse_taken(folder, names)
    usual = counted_to(order.lightness_weight)
    within = usual if order.tolerance is None else order.tolerance
    return Ready(order, title, needs, rules, wish, within, folder, photos, names)


def finish(
    ready: Ready,
    result: Count,
    tell: Callable[[str], None],
    *,
    pages: Pages | None = None,
    hang: Callable[[Planned], Planned] | None = None,
) -> Done:
    """Plan what was counted and write the files.

    Parameters
    ----------
    ready : Ready
    result : Count
    tell : callable
    pages : callable, optional
        Makes more files.
    hang : callable, optional
        Hangs the plan's blocks as a person said.
    """
    from catalog.report.output_files import write_files

    planned = None
    if ready.wish is not None:
        tell("planning the quilt")
        planned = plan(ready.wish, result, ready.rules, ready.within)
        planned = hang(planned) if planned and hang else planned
    tell("writing the files")
    contents = dict(_contents(result, planned, pictures=ready.photos > 0))
    if pages:
        contents.update(pages(ready, result, planned, contents))
    written = write_files(ready.folder, contents, ours=ready.names, replace=ready.order.replace)
    return Done(ready, result, planned, written)


def import_beside(module: str) -> None:
    """Begin to import a slow module that is wanted late, while photos are decoded and looked at."""
    Thread(target=import_module, args=(module,), daemon=True).start()


def _ours(folder: Path, photos: int) -> tuple[str, ...]:
    """Name the files that are written, and pictures that an earlier run of more photos left."""
    if photos == 0:
        return CSV_FILES
    earlier = sorted(path.name for path in folder.glob("*-*.jpg") if PICTURE.fullmatch(path.name))
    named = (*_picture_names("found", photos), *_picture_names("values", photos))
    return tuple(dict.fromkeys((*CSV_FILES, *named, *earlier)))


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


def _picture_names(stem: str, count: int) -> tuple[str, ...]:
    return (f"{stem}.jpg", *(f"{stem}-{number}.jpg" for number in range(2, count + 1)))


def _contents(
    result: Count, planned: Planned | None, *, pictures: bool
) -> Mapping[str, bytes | str]:
    from catalog.report.pictures.found_picture import found_jpeg
    from catalog.report.pictures.value_picture import value_jpeg
    from catalog.report.tables.csv_tables import sets_csv, swatches_csv, tally_csv

    photos = result.bundle.photos
    contents: dict[str, bytes | str] = {
        "swatches.csv": swatches_csv(result.bundle.swatches),
        "sets.csv": sets_csv(result.sets),
        "tally.csv": tally_csv(result.tally),
    }
    for stem, jpeg in (("found", found_jpeg), ("values", value_jpeg)) if pictures else ():
        for name, one in zip(_picture_names(stem, len(photos)), photos, strict=True):
            contents[name] = jpeg(one.photo, result.bundle.swatches, result.sets)
    if planned is not None:
        contents.update(plan_contents(planned, result))
    return contents
