"""Photos looked at, many at once, and added to a kept bundle."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final

import typer

from catalog.errors import (
    EXIT_USAGE,
    CalicountError,
    CatalogueError,
    NoSquaresError,
    PhotoError,
    UsageError,
)
from catalog.phrases import MAX_NAMED
from cli import console
from cli.bundles.add_words import Outcome, be, named, tell_added
from cli.bundles.open_bundle import opened
from cli.corrections.same_pieces import alike
from cli.photo_files import photo_files
from cli.reference_words import page_lines

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from catalog.analysis import PhotoAnalysis
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.photo_intake import Added
    from catalog.catalogue.records import StoredBundle
    from catalog.models import Ground
    from cli.bundles.add import AddRequest
    from cli.options import Manner

USUAL_SIDE: Final = 5
"""Inches, of a new bundle's squares where nothing is said."""
MAX_JOBS: Final = 256
"""Processes at once: more than one computer has cores (choice of ours)."""


@dataclass
class _Sorted:
    """Photo files, sorted by what they are to the bundle."""

    fresh: list[Path] = field(default_factory=list)
    known: list[str] = field(default_factory=list)
    """Names of those that the bundle, or another photo named here, has already."""
    bad: list[CalicountError] = field(default_factory=list)


def run_add(request: AddRequest, manner: Manner) -> None:
    """Add photos and tell what became of each photo."""
    from cli.counting.typed_count import side_of

    side = None if request.square is None else side_of(request.square)
    if request.jobs is not None and not 1 <= request.jobs <= MAX_JOBS:
        raise UsageError(f"--jobs {request.jobs} can't be meant", "write 1 or more")
    _check_name(request)
    files = photo_files(request.photos)
    with opened(manner) as catalogue:
        before = _existing(catalogue, request, side)
        photos = _read(files, before)
        pairs = _look(photos, float(side or (before.side if before else USUAL_SIDE)), request)
        added = _added(catalogue, request, side, pairs)
        if added is None and pairs and not (photos.bad or photos.known):
            raise _nothing([looked for looked, _ in pairs])
        kept = added.kept if added else before
        if kept is not None:
            looked = [one for one, _ in pairs]
            tell_added(_outcome(catalogue, kept, photos, added, looked), manner)
    for error in photos.bad:
        console.complain(str(error))
    if photos.bad:
        if added and added.added:
            console.complain(f"only {named(added.added)} {be(added.added)} kept.")
        raise typer.Exit(EXIT_USAGE)


def _check_name(request: AddRequest) -> None:
    """Refuse a name that can't be kept, or a photo where the name should be."""
    from catalog.catalogue.store.bundle_list import fit_name

    fit_name(request.name)
    place = Path(request.name)
    if place.suffix and place.is_file():
        raise UsageError(
            f"'{request.name}' is a file, and the bundle's name comes before the photos",
            "write it as in: calicount add blues left.jpg right.jpg",
        )


def _existing(
    catalogue: Catalogue, request: AddRequest, side: Fraction | None
) -> StoredBundle | None:
    """Return the bundle of that name, refused where its squares measure something else."""
    from catalog.catalogue.store.bundle_list import tidy
    from catalog.lengths import show_length

    lines = {line.name.casefold() for line in catalogue.lines()}
    if tidy(request.name).casefold() not in lines:
        return None
    kept = catalogue.bundle(request.name)
    if side is not None and side != kept.side and not request.another_kind:
        raise CatalogueError(
            f"the squares of {kept.name} measure {show_length(kept.side, step=None)}",
            "leave --square out, say --another-kind, or give these photos a bundle of their own",
        )
    return kept


def _read(files: Sequence[Path], before: StoredBundle | None) -> _Sorted:
    """Read the files and put aside what is known by its content or can't be read."""
    import hashlib

    from catalog.photo import read_content

    photos = _Sorted()
    had = (*before.photos, *before.gone_photos) if before else ()
    seen = {digest for photo in had for digest in photo.digests}
    for path in files:
        try:
            content = read_content(path)
        except PhotoError as error:
            photos.bad.append(error)
            continue
        digest = hashlib.sha256(content).hexdigest()
        if digest in seen:
            photos.known.append(path.name)
        else:
            photos.fresh.append(path)  # read again when it is looked at, to spare memory
        seen.add(digest)
    return photos


def _look(photos: _Sorted, side: float, request: AddRequest) -> list[tuple[PhotoAnalysis, Path]]:
    """Look at the fresh photos, several at once; those that can't be read are put aside."""
    from catalog.analysis import analyse_photos
    from catalog.models import LightHints
    from cli.counting.typed_count import reference_bar_of

    found = []
    hints = LightHints(
        ground=_ground(request),
        reference_bar=reference_bar_of(request.reference_bar),
        lamp=request.lamp,
    )
    jobs = 1 if len(photos.fresh) == 1 else request.jobs
    with (
        console.bar("Looking for squares", len(photos.fresh)) as one_more,
        _cluster(request.cluster),
    ):
        named = [(path.name, path) for path in photos.fresh]
        several = analyse_photos(named, side, jobs=jobs, hints=hints)
        for looked, path in zip(several, photos.fresh, strict=True):
            one_more(f"looked at {looked.name}")
            if looked.problem is not None:
                photos.bad.append(looked.problem)
            else:
                found.append((looked, path))
    return found


@contextmanager
def _cluster(address: str | None) -> Iterator[None]:
    """Let a Dask cluster do the work of joblib inside; none for None."""
    if address is None:
        yield
        return
    try:
        import joblib
        from dask.distributed import Client
    except ImportError as error:
        raise UsageError(
            "a cluster needs a part that isn't installed", "pip install 'calicount[cluster]'"
        ) from error
    try:
        client = Client(address, timeout="10s")  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        raise UsageError(
            f"no cluster answers at {address}", "check its address, or leave --cluster out"
        ) from error
    with client, joblib.parallel_config(backend="dask"):
        yield


def _added(
    catalogue: Catalogue,
    request: AddRequest,
    side: Fraction | None,
    pairs: Sequence[tuple[PhotoAnalysis, Path]],
) -> Added | None:
    """Add what shows squares; None where no photo does."""
    if not any(looked.found.squares for looked, _ in pairs):
        return None
    with console.progress() as tell:
        tell("bringing the colours to one light")
        return catalogue.add(
            request.name,
            side,
            pairs,
            ground=_ground(request),
            lamp=request.lamp,
            another_kind=request.another_kind,
            tell=tell,
            jobs=request.jobs,
        )


def _ground(request: AddRequest) -> Ground | None:
    return request.ground.value if request.ground else None


def _nothing(looked: Sequence[PhotoAnalysis]) -> NoSquaresError:
    names = " and ".join(one.name for one in looked[:MAX_NAMED])
    cut = sum(one.found.cut_off for one in looked)
    what = f"no whole squares found, though {cut} at the edge" if cut else "no squares found"
    return NoSquaresError(f"{names}: {what}", "lay the squares flat and photograph them whole")


def _outcome(
    catalogue: Catalogue,
    kept: StoredBundle,
    photos: _Sorted,
    added: Added | None,
    looked: Sequence[PhotoAnalysis],
) -> Outcome:
    fresh = added.added if added else ()
    return Outcome(
        kept=kept,
        added=fresh,
        known=(*photos.known, *(added.known if added else ())),
        empty=tuple(one.name for one in looked if not one.found.squares),
        bad=tuple(photos.bad),
        pairings=alike(catalogue, kept, len(fresh)) if fresh else (),
        pages=tuple(page_lines({one.name: one.found for one in looked})),
    )
