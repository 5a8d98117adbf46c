"""What ``count``, ``report`` and ``demo`` share: a request counted, written and told."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import UsageError
from cli import console
from cli.counting.count_plan import plan_contents
from cli.counting.count_words import tell_count
from cli.counting.output_folder import OutputFolder, OutputOptions, folder_for, picture_names
from cli.counting.typed_count import request_of_photos
from cli.early_reading import reader

if TYPE_CHECKING:
    from catalog.count_request import CountRequest
    from catalog.count_results import Count
    from catalog.models import Swatch
    from catalog.planning import Planned
    from catalog.system.progress import Progress
    from cli.counting.count_options import CountOptions
    from cli.options import Manner

Files = Mapping[str, bytes | str]
Drawn = Callable[[], Files]


@dataclass(frozen=True, eq=False)
class WrittenCount:
    """A request counted, planned and written."""

    request: CountRequest
    result: Count
    planned: Planned | None
    folder: Path
    written: tuple[Path, ...]


def count_photos(
    photos: Sequence[Path], options: CountOptions, output: OutputOptions, manner: Manner
) -> bool:
    """Count photographs of a bundle, write the files and tell it.

    Returns
    -------
    bool
        Whether the bundle is enough.
    """
    request = request_of_photos(options, photos, manner.catalogue)
    folder = folder_for(output, len(photos))
    check_photos(photos)
    with console.progress() as tell:
        read = reader(photos)
        from catalog import pipeline

        bundle = pipeline.catalogue(
            request.photos,
            tuple(map(float, request.photo_sides)) or float(request.side),
            request.families,
            tell,
            request.hints,
            request.terms,
            read,
        )
        drawn: list[Drawn] = []  # beside the doubts, which they don't show
        result = pipeline.count(
            bundle,
            request.title,
            request.needs,
            request.rules,
            tell,
            chosen=lambda early: drawn.append(drawn_beside(early, folder)),
        )
        done = finish(request, folder, result, tell, drawn=drawn[0])
    tell_count(done, manner)
    return result.tally.enough


def finish(
    request: CountRequest,
    folder: OutputFolder,
    result: Count,
    tell: Progress,
    *,
    drawn: Drawn | None = None,
    pages: Callable[[Count, Planned | None, Files], Files] | None = None,
    hang: Callable[[Planned], Planned] | None = None,
) -> WrittenCount:
    """Plan what was counted and write the files.

    Parameters
    ----------
    request : CountRequest
    folder : OutputFolder
    result : Count
    tell : callable
    drawn : callable, optional
        Gives the pictures of photos where they have been begun; see `drawn_beside`.
    pages : callable, optional
        Makes more files from the count, its plan and the files made so far.
    hang : callable, optional
        Hangs the plan's blocks as a person said.
    """
    from catalog.report.output_files import write_files

    planned = None
    if request.asks_plan:
        tell("planning the quilt")
        from catalog.planning import plan

        planned = plan(result, request)
        planned = hang(planned) if planned and hang else planned
    tell("writing the files")
    drawn = drawn or drawn_beside(result, folder)
    contents = {**table_contents(result.bundle.swatches, result)}
    if planned is not None:
        contents.update(plan_contents(planned, result, pictures=not folder.pictures.no_pictures))
    contents.update(drawn())
    if pages:
        contents.update(pages(result, planned, contents))
    written = write_files(folder.folder, contents, ours=folder.names, replace=folder.replace)
    return WrittenCount(request, result, planned, folder.folder, written)


def check_photos(photos: Sequence[Path]) -> None:
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


def table_contents(swatches: Sequence[Swatch], result: Count) -> Files:
    """Return the tables of squares, sets and tally by name."""
    from catalog.report.tables.csv_tables import sets_csv, swatches_csv, tally_csv

    return {
        "swatches.csv": swatches_csv(swatches),
        "sets.csv": sets_csv(result.sets),
        "tally.csv": tally_csv(result.tally),
    }


def drawn_beside(result: Count, folder: OutputFolder) -> Drawn:
    """Begin to draw what was found on the photos, and return what gives the files by name."""
    if folder.pictures.no_pictures or not folder.photos:
        return dict
    from catalog.report.pictures.photo_jpegs import photo_jpegs
    from catalog.system.beside import begun

    full, swatches, sets = folder.pictures.full_pictures, result.bundle.swatches, result.sets
    photos = [one.photo for one in result.bundle.photos]

    def draw() -> Files:
        drawn = [photo_jpegs(photo, swatches, sets, full=full) for photo in photos]
        found, values = zip(*drawn, strict=True)
        names = [name for stem in ("found", "values") for name in picture_names(stem, len(photos))]
        return dict(zip(names, (*found, *values), strict=True))

    return begun(draw)
