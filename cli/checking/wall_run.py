"""A check of the wall carried out: the order of its steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import NoWallError
from catalog.phrases import listed
from cli import console
from cli.bundles.open_bundle import opened
from cli.checking.check_folder import Contents, folder_of, tell_files, written_to
from cli.checking.check_words import check_lines, check_object, differs
from cli.checking.checking_options import CHECKED, TABLE, TAKEN_FILES, CheckingOptions
from cli.checking.plan_wanted import plan_wanted, table_of
from cli.checking.wall_changes import (
    WallChanges,
    carried_out,
    change_lines,
    sewn_in_photo,
    taken_as_is,
    with_ticks,
)
from cli.counting.bundle_run import photos_of
from cli.counting.count_run import check_photos
from cli.counting.output_folder import OutputOptions, picture_names
from cli.counting.picture_options import USUAL_PICTURES, PictureOptions
from cli.photo_files import photo_files

if TYPE_CHECKING:
    from catalog.catalogue.hung_plan import HungPlan
    from catalog.catalogue.records import StoredBundle
    from catalog.count_results import PhotoResult
    from catalog.models import Photo, WallCheck, WallMove
    from catalog.system.progress import Progress
    from cli.options import Manner


@dataclass(frozen=True, eq=False)
class CheckedWall:
    """A wall that was checked against its plan."""

    hung: HungPlan
    photos: tuple[Photo, ...]
    check: WallCheck
    moves: tuple[WallMove, ...]


def check_wall_of(
    name: str,
    named: Sequence[Path],
    options: CheckingOptions,
    output: OutputOptions,
    manner: Manner,
) -> bool:
    """Check a wall, write its picture and tell what differs.

    Returns
    -------
    bool
        Whether all that is told hangs as planned, by the plan as it is now.
    """
    table = table_of(options)
    paths = photo_files(named)
    check_photos(paths)
    more = TAKEN_FILES if options.take_as_is else ()
    folder = folder_of(output, (*picture_names(CHECKED, len(paths)), TABLE, *more))
    with opened(manner, reading=True) as catalogue, console.progress() as tell:
        kept = catalogue.bundle(name)
        hung = plan_wanted(catalogue, kept, options, table, tell)
        photos = wall_photos(paths, tell)
        own = photos_of(catalogue, kept, tell)
        tell("looking at the wall")
        from catalog.catalogue.seen_wall import numbered_sets, seen_wall

        sets = numbered_sets(catalogue, kept, hung)
        done = checked(hung, photos, seen_wall(kept, own, hung.planned, photos, sets))
    changes = _changes(kept, done, options)
    asked = output.pictures
    contents = {**check_contents(done, asked), **_plan_contents(changes, kept, own, asked)}
    carried_out(name, manner, kept, changes)
    written = written_to(folder, contents, output)
    _tell(kept.name, done, changes, written, manner, asked=options.take_as_is)
    return not (changes.empty if options.take_as_is else differs(done.moves))


def _changes(kept: StoredBundle, done: CheckedWall, options: CheckingOptions) -> WallChanges:
    """Return what is to be done to the bundle, after asking what must be asked."""
    changes = WallChanges(done.hung)
    if options.take_as_is:
        changes = taken_as_is(kept, done.hung, done.check)
    sewn = sewn_in_photo(done.hung, done.check, changes.taken)
    return with_ticks(kept, changes, sewn, options.tick)


def _plan_contents(
    changes: WallChanges, kept: StoredBundle, own: Sequence[PhotoResult], asked: PictureOptions
) -> Contents:
    """Return the plan's files where it follows the wall now."""
    if not changes.taken:
        return {}
    from catalog.count_results import Bundle
    from cli.counting.count_plan import wall_contents

    bundle = Bundle(tuple(own), kept.swatches)
    return wall_contents(changes.hung.planned, bundle, pictures=not asked.no_pictures)


def wall_photos(paths: Sequence[Path], tell: Progress) -> tuple[Photo, ...]:
    """Read photos of a wall; each gets a name of its own."""
    from catalog.photo import read_photo
    from catalog.pipeline import photo_names

    found = []
    for path, name in zip(paths, photo_names(paths), strict=True):
        tell(f"reading {path.name}")
        found.append(replace(read_photo(path), name=name))
    return tuple(found)


def checked(hung: HungPlan, photos: Sequence[Photo], check: WallCheck) -> CheckedWall:
    """Return a wall with what is to be put right on it.

    Raises
    ------
    NoWallError
        No photo shows it.
    """
    from catalog.wall.put_right.moves_needed import moves_needed

    if not check.wall_found:
        names = listed([photo.name for photo in photos])
        raise NoWallError(
            f"no wall found: nothing in {names} hangs as this plan has it",
            "photograph four blocks or more of it from the front, or name another plan",
        )
    return CheckedWall(hung, tuple(photos), check, moves_needed(check))


def check_contents(done: CheckedWall, asked: PictureOptions = USUAL_PICTURES) -> Contents:
    """Return the files by name."""
    from catalog.report.tables.check_csv import check_csv

    table = {TABLE: check_csv(done.check, done.hung.planned.wall)}
    return table if asked.no_pictures else {**_checked_pictures(done, asked), **table}


def _checked_pictures(done: CheckedWall, asked: PictureOptions) -> Contents:
    from catalog.report.pictures.checks.checked_picture import checked_jpeg

    layout, wall = done.hung.planned.layout, done.hung.planned.wall
    size = float(layout.block), float(layout.tall)
    places = {
        block.place: (block.x, block.y, *(size[::-1] if block.turn % 180 else size))
        for block in wall.blocks
    }
    return {
        name: checked_jpeg(photo, done.check, done.moves, places, full=asked.full_pictures)
        for name, photo in zip(picture_names(CHECKED, len(done.photos)), done.photos, strict=True)
    }


def _tell(
    name: str,
    done: CheckedWall,
    changes: WallChanges,
    written: Sequence[Path],
    manner: Manner,
    *,
    asked: bool,
) -> None:
    plan = done.hung.planned.wall

    def say() -> None:
        console.tell_lines(check_lines(done.check, done.moves, plan))
        console.tell_lines(change_lines(name, changes, asked=asked))
        tell_files(written)

    told = check_object(done.check, done.moves, plan, written)
    told |= {"taken": list(changes.taken), "ticked": list(changes.ticked)}
    console.answer(manner, lambda: told, say)
