"""Rows of the catalogue to values."""

from __future__ import annotations

import hashlib
import json
import sqlite3
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from typing import Final

from catalog.catalogue.events.projection import replay
from catalog.catalogue.records import Deed, Kept, KeptPhoto, SeenSquare, State
from catalog.catalogue.store import digests
from catalog.catalogue.store import encoding as frozen
from catalog.errors import CatalogueError
from catalog.models import Light, Swatch

STANDING_PHOTOS: Final = """select p.* from photos p where p.id not in
    (select json_extract(d.args, '$.photo') from deeds d
    where d.bundle_id = p.bundle_id and d.kind = 'drop photo' and not d.undone)"""
"""The photos without those that were taken out."""


@dataclass(frozen=True, eq=False)
class Record:
    """A bundle's rows: what was seen, what was said, and what was last made of it."""

    id: int
    name: str
    side: Fraction
    version: int
    added_at: str
    photos: tuple[KeptPhoto, ...]
    measured_from: Mapping[int, str]
    """By photo: see `catalog.catalogue.derived_swatches`."""
    seen: tuple[SeenSquare, ...]
    deeds: tuple[Deed, ...]
    swatches: Mapping[int, Swatch]
    """By square, in reading order."""


@dataclass(frozen=True)
class BundleLine:
    """A bundle in a list."""

    name: str
    side: Fraction
    photos: int
    """Without those that were taken out."""
    squares: int
    free: int
    """Squares that a set may use."""
    projects: tuple[str, ...]
    added_at: str
    version: int
    id: int = 0


def bundle_id(connection: sqlite3.Connection, name: str) -> int:
    """Return a bundle's number, its name in any case.

    Raises
    ------
    CatalogueError
        There is none; names those that come nearest.
    """
    row = connection.execute("select id from bundles where name = ?", (tidy(name),)).fetchone()
    if row is not None:
        return int(row["id"])
    import difflib

    found = connection.execute("select name from bundles order by name")
    names = [str(one["name"]) for one in found]
    if not names:
        raise CatalogueError(
            f"no bundle is kept yet, so there is no '{name}'",
            "keep one with: calicount add NAME PHOTO",
        )
    near = difflib.get_close_matches(name, names, 3, 0.4) or names[:5]
    told = ", ".join(near)
    raise CatalogueError(
        f"no bundle is called '{name}'", f"calicount bundles lists them; perhaps you mean {told}"
    )


def tidy(name: str) -> str:
    """Return a bundle's name as it is kept."""
    # An accent may be a sign of its own, as in the names of files on a Mac.
    composed = unicodedata.normalize("NFC", name)
    return " ".join("".join(c if c.isprintable() else " " for c in composed).split())


def record(
    connection: sqlite3.Connection, number: int, *, whole: bool = True, measured: bool = True
) -> Record:
    """Read a bundle's rows; for use inside a transaction or snapshot.

    Parameters
    ----------
    connection : sqlite3.Connection
    number : int
        Of the bundle.
    whole : bool
        Whether they must be as calicount wrote them; those that this transaction has written
        itself aren't sealed yet.
    measured : bool
        Whether the swatches are read too.

    Raises
    ------
    CatalogueError
        There is no such bundle, or its rows are damaged.
    """
    name, _ = head(connection, number)
    rows = partial(digests.sound_rows if whole else digests.rows_of, connection, number)
    if whole:
        digests.refuse_broken(connection, number, ("photos", "lights"))
    with digests.understood(name):
        return _record(connection, number, rows, measured=measured)


def _record(
    connection: sqlite3.Connection, number: int, rows: Callable[[str], digests.Rows], *,
    measured: bool,
) -> Record:  # fmt: skip
    (row,) = rows("bundle")
    seen = _seen(rows("squares"))
    photos = connection.execute(
        "select * from photos where bundle_id = ? order by number", (number,)
    ).fetchall()
    return Record(
        id=number,
        name=row["name"],
        side=Fraction(row["side"]),
        version=row["version"],
        added_at=row["added_at"],
        photos=tuple(_photo(one) for one in photos),
        measured_from={one["id"]: one["measured_from"] for one in photos},
        seen=seen,
        deeds=_deeds(rows("deeds")),
        swatches=_swatches(rows("swatches"), seen, {one["id"]: one["name"] for one in photos})
        if measured
        else {},
    )


def state_of(rows: Record) -> State:
    """Return what follows from a bundle's rows.

    Raises
    ------
    CatalogueError
        They contradict each other.
    """
    with digests.understood(rows.name):
        return replay(rows.seen, rows.deeds)


def kept(rows: Record, state: State | None = None) -> Kept:
    """Return a bundle as it stands."""
    state = state or state_of(rows)
    with digests.understood(rows.name):
        return _kept(rows, state)


def _kept(rows: Record, state: State) -> Kept:
    gone = state.dropped_photos
    return Kept(
        id=rows.id,
        name=rows.name,
        side=rows.side,
        version=rows.version,
        photos=tuple(p for p in rows.photos if p.id not in gone),
        state=state,
        deeds=rows.deeds,
        swatches=tuple(rows.swatches.values()),
        added_at=rows.added_at,
        by_label={state.squares[n].label: state.squares[n] for n in rows.swatches},
        gone_photos=tuple(replace(p, dropped=True) for p in rows.photos if p.id in gone),
        seen=rows.seen,
        measured_from=rows.measured_from,
    )


def light_of_photo(connection: sqlite3.Connection, photo: int) -> Light | None:
    """Return the light that a photo was last measured in."""
    row = connection.execute("select light from photos where id = ?", (photo,)).fetchone()
    with digests.understood("a photo's light"):
        return frozen.light_of(row["light"]) if row and row["light"] is not None else None


def head(connection: sqlite3.Connection, number: int) -> tuple[str, int]:
    """Return the name and version of the bundle of a number."""
    row = connection.execute("select name, version from bundles where id = ?", (number,)).fetchone()
    if row is None:
        raise CatalogueError("that bundle has been removed", "calicount bundles lists what is kept")
    return row["name"], row["version"]


def photo(connection: sqlite3.Connection, number: int) -> KeptPhoto | None:
    """Return the photo of a number; None for none."""
    row = connection.execute("select * from photos where id = ?", (number,)).fetchone()
    return _photo(row) if row else None


def crop(connection: sqlite3.Connection, square: int) -> tuple[bytes, str] | None:
    """Return the crop of the square of a number, and its `picture_mark`; None for none."""
    row = connection.execute(
        """select c.jpeg, p.digest, p.measured_from from crops c
            join squares s on s.id = c.square_id join photos p on p.id = s.photo_id
        where c.square_id = ?""",
        (square,),
    ).fetchone()
    with digests.understood("a square's picture"):
        mark = picture_mark(row["digest"], row["measured_from"]) if row else ""
        return (bytes(row["jpeg"]), mark) if row else None


def picture_mark(digest: str, measured_from: str) -> str:
    """Return what changes whenever the crops of a photo's squares may."""
    return f"{digest[:12]}-{measured_from}"


def content_of_photo(connection: sqlite3.Connection, photo: int) -> bytes:
    """Return a photo's file."""
    row = connection.execute(
        "select p.*, f.content from photos p join photo_files f on f.photo_id = p.id where id = ?",
        (photo,),
    ).fetchone()
    if row is None:
        raise CatalogueError("a photo is missing from the catalogue", digests.CHECK_UP)
    if not is_as_kept(row, row["content"]):
        raise CatalogueError(f"the photo {row['name']} is not as it came", digests.CHECK_UP)
    return bytes(row["content"])


def is_as_kept(photo: sqlite3.Row, content: object) -> bool:
    """Whether a photo's file is the one that was kept, by its row."""
    kept = (_can_be_bare(photo) and photo["file_digest"]) or photo["digest"]
    return type(content) is bytes and hashlib.sha256(content).hexdigest() == kept


def crops(connection: sqlite3.Connection, bundle: int) -> dict[int, bytes]:
    """Return the crops of a bundle's squares, by number."""
    rows = digests.sound_rows(connection, bundle, "crops")
    with digests.understood("the squares' pictures"):
        return {number: bytes(jpeg) for number, jpeg in rows}


def lines(connection: sqlite3.Connection) -> tuple[BundleLine, ...]:
    """List the bundles by name."""
    for (number,) in connection.execute("select id from bundles").fetchall():
        digests.refuse_broken(connection, number, ("bundle",))
    with digests.understood("the bundles"):
        return _lines(connection)


def _lines(connection: sqlite3.Connection) -> tuple[BundleLine, ...]:
    projects: dict[int, list[str]] = {}
    for row in connection.execute(
        "select distinct bundle_id, state from swatches where state like 'reserved for %'"
    ):
        projects.setdefault(row["bundle_id"], []).append(row["state"].removeprefix("reserved for "))
    return tuple(
        BundleLine(
            name=row["name"],
            side=Fraction(row["side"]),
            photos=row["photos"],
            squares=row["squares"],
            free=row["free"],
            projects=tuple(sorted(projects.get(row["id"], []))),
            added_at=row["added_at"],
            version=row["version"],
            id=row["id"],
        )
        for row in connection.execute(
            f"""select b.*,
                (select count(*) from ({STANDING_PHOTOS}) p where p.bundle_id = b.id) as photos,
                (select count(*) from swatches s where s.bundle_id = b.id) as squares,
                (select count(*) from swatches s where s.bundle_id = b.id and s.state = '') as free
            from bundles b order by b.name collate nocase"""
        )
    )


def _photo(row: sqlite3.Row) -> KeptPhoto:
    return KeptPhoto(
        id=row["id"],
        number=row["number"],
        name=row["name"],
        digest=row["digest"],
        wide=row["wide"],
        high=row["high"],
        cut_off=row["cut_off"],
        pixels_per_inch=row["pixels_per_inch"],
        evidence=row["evidence"],
        expected_error=row["expected_error"],
        unevenness=row["unevenness"],
        added_at=row["added_at"],
        file_digest=row["file_digest"] if _can_be_bare(row) else "",
    )


def _can_be_bare(photo: sqlite3.Row) -> bool:
    """Whether a photo's row tells of its file; those of an older catalogue don't."""
    return "file_digest" in photo.keys()  # noqa: SIM118 - "in" looks through a row's values


def _seen(rows: digests.Rows) -> tuple[SeenSquare, ...]:
    return tuple(
        SeenSquare(
            row["id"],
            row["photo_id"],
            row["label"],
            frozen.square_of(row["seen"]) if row["seen"] else None,
        )
        for row in rows
    )


def _deeds(rows: digests.Rows) -> tuple[Deed, ...]:
    return tuple(
        Deed(
            row["kind"],
            json.loads(row["args"]),
            row["number"],
            row["at"],
            row["made"],
            row["undone"],
        )
        for row in rows
    )


def _swatches(
    rows: digests.Rows, seen: Sequence[SeenSquare], names: Mapping[int, str]
) -> dict[int, Swatch]:
    photos = {one.id: one.photo for one in seen}
    return {row["square_id"]: _swatch(row, names[photos[row["square_id"]]]) for row in rows}


def _swatch(row: sqlite3.Row, photo: str) -> Swatch:
    return Swatch(
        label=row["label"],
        photo=photo,
        square=frozen.square_of(row["square"]),
        lab=(row["lightness"], row["a"], row["b"]),
        print_kind=row["print_kind"],
        busyness=row["busyness"],
        colour_name=row["colour_name"],
        value=row["value"],
        fabric=row["fabric"],
        family=row["family"],
        flags=tuple(json.loads(row["flags"])),
        signature=frozen.signature_of(row["signature"]),
        uncertainty=row["uncertainty"],
        own_uncertainty=row["own_uncertainty"],
        role=row["role"],
    )
