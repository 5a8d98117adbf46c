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
from cli.counting.output_folder import OutputFolder, OutputOptions, folder_for
from cli.counting.photo_pictures import PhotoPictures
from cli.counting.typed_count import request_of_photos
from cli.early_reading import looks_begun

if TYPE_CHECKING:
    from catalog.count_request import CountRequest
    from catalog.count_results import Count
    from catalog.models import Swatch
    from catalog.planning import Planned
    from catalog.system.progress import Progress
    from cli.counting.count_options import CountOptions
    from cli.options import Manner

Files = Mapping[str, bytes | str]


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
        begun = looks_begun(photos, with_table=not (manner.json or manner.quiet))
        pictures = PhotoPictures(folder)
        from catalog import pipeline

        bundle = pipeline.catalogue(
            request.photos,
            tuple(map(float, request.photo_sides)) or float(request.side),
            request.families,
            tell,
            request.hints,
            request.terms,
            begun,
            pictures.begin,
        )
        result = pipeline.count(
            bundle,
            request.title,
            request.needs,
            request.rules,
            tell,
            chosen=lambda early: pictures.add_sets(early.sets),  # no picture shows the doubts
        )
        done = finish(request, folder, result, tell, pictures=pictures)
    tell_count(done, manner)
    return result.tally.enough


def finish(
    request: CountRequest,
    folder: OutputFolder,
    result: Count,
    tell: Progress,
    *,
    pictures: PhotoPictures | None = None,
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
    pictures : PhotoPictures, optional
        Where they have been begun.
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
    if pictures is None:
        pictures = PhotoPictures(folder)
        pictures.begin([one.photo for one in result.bundle.photos], result.bundle.swatches)
        pictures.add_sets(result.sets)
    contents = {**table_contents(result.bundle.swatches, result)}
    if planned is not None:
        contents.update(plan_contents(planned, result, pictures=not folder.pictures.no_pictures))
    contents.update(pictures.files())
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
