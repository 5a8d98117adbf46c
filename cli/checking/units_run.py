"""Trimmed units measured against their trim size: the order of the steps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import NoSquaresError, UsageError
from catalog.lengths import show_length
from catalog.phrases import count_of, joined, listed
from cli import console
from cli.bundles.open_bundle import opened
from cli.checking.check_folder import Contents, folder_of, tell_files, written_to
from cli.checking.checking_options import CHECKED, UNITS_TABLE, CheckingOptions
from cli.checking.plan_wanted import pattern_wanted
from cli.checking.units_words import unit_lines, units_object
from cli.checking.wall_run import wall_photos
from cli.counting.count_run import check_photos
from cli.counting.output_folder import OutputOptions, picture_names
from cli.counting.typed_count import reference_bar_of, side_of
from cli.photo_files import photo_files

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import StoredBundle
    from catalog.models import MeasuredUnit, Photo
    from cli.counting.picture_options import PictureOptions
    from cli.options import Manner


def measure_units_of(
    name: str,
    named: Sequence[Path],
    options: CheckingOptions,
    output: OutputOptions,
    manner: Manner,
) -> bool:
    """Measure trimmed units, write their picture and table and tell which are too small.

    Returns
    -------
    bool
        Whether none is.
    """
    bar = reference_bar_of(options.reference_bar)
    paths = photo_files(named)
    check_photos(paths)
    folder = folder_of(output, (*picture_names(CHECKED, len(paths)), UNITS_TABLE))
    with opened(manner, reading=True) as catalogue:
        trims = _trims(catalogue, catalogue.bundle(name), options)
    with console.progress() as tell:
        photos = wall_photos(paths, tell)
        tell("measuring the units")
        from catalog.analysis.trimmed_units import measure_units

        units, found = measure_units(photos, trims, bar)
    if not units:
        raise NoSquaresError(
            f"no units found in {listed([photo.name for photo in photos])}",
            "lay them flat in rows with gaps between them, and photograph them whole",
        )
    if all(unit.sewn_in for unit in units):
        raise NoSquaresError(
            f"the {count_of(len(units), 'unit')} in {listed([photo.name for photo in photos])} "
            "lie edge to edge, as sewn ones do, and what a seam takes up can't be measured",
            "lay units that aren't sewn in yet in rows with gaps between them",
        )
    written = written_to(folder, _contents(photos, units, output.pictures), output)
    seen = {photo.name: one for photo, one in zip(photos, found, strict=True)}

    def say() -> None:
        console.tell_lines(unit_lines(units, seen))
        tell_files(written)

    console.answer(manner, lambda: units_object(units, written), say)
    return all(unit.fit != "too small" for unit in units)


def _trims(
    catalogue: Catalogue, kept: StoredBundle, options: CheckingOptions
) -> tuple[Fraction, ...]:
    """Return what the units are trimmed to, inches.

    Raises
    ------
    CalicountError
        Nothing says so, or several sizes are possible.
    """
    if options.trim_to is not None:
        return (side_of(options.trim_to, "--trim-to"),)
    request, _ = pattern_wanted(catalogue, kept, options)
    if request.quilt is None:
        raise UsageError(
            "nothing says what the units are trimmed to", "say it with --trim-to, or --pattern"
        )
    from catalog.cutting.adapted.adaptation import adapt_pattern

    block = adapt_pattern(request.quilt, square=request.usable_side, seam=request.seam).block
    square = Counter(unit.trim for unit in block.units if unit.trim == unit.trim_height)
    if len(square) != 1:
        sizes = joined([show_length(size) for size in sorted(square)])
        raise UsageError(
            f"the units are trimmed to {sizes}" if square else "this pattern has no square units",
            "say with --trim-to which of them the photo shows" if square else "leave --units out",
        )
    return tuple(square)


def _contents(
    photos: Sequence[Photo], units: Sequence[MeasuredUnit], asked: PictureOptions
) -> Contents:
    from catalog.report.tables.check_csv import units_csv

    table = {UNITS_TABLE: units_csv(units)}
    if asked.no_pictures:
        return table
    from catalog.report.pictures.checks.units_picture import units_jpeg

    names = picture_names(CHECKED, len(photos))
    pictures = {
        name: units_jpeg(photo, units, full=asked.full_pictures)
        for name, photo in zip(names, photos, strict=True)
    }
    return {**pictures, **table}
