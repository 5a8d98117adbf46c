"""The kept catalogue: bundles that stay, and everything that is done to them.

Every change is worked out on a snapshot first, which may take a second where a photo is measured
again, and then written in one transaction, if the bundle is still at the version it was worked out
for; otherwise it is worked out anew. So nothing is ever half written, no command waits long for
another, and none writes over what another did.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType, TracebackType
from typing import TYPE_CHECKING, Final, Self

from catalog.errors import CatalogueError, NoSquaresError, StaleError
from catalog.kept import deeds as say
from catalog.kept import reading, writing
from catalog.kept.deeds import next_redone, next_undone
from catalog.kept.file import (
    PATIENCE,
    connect,
    default_file,
    explained,
    snapshot,
    transaction,
    trial,
)
from catalog.kept.models import Deed, Kept, KeptPhoto
from catalog.kept.reading import BundleLine, Record
from catalog.kept.replay import replay
from catalog.models import Ground

if TYPE_CHECKING:
    from catalog.kept.settling import Fresh, Settled
    from catalog.looking import Looked

Teller = Callable[[str], None]
TRIES: Final = 8
"""How often a change is worked out anew because another command was quicker."""


def silent(_: str) -> None:
    """Tell nobody."""


@dataclass(frozen=True)
class Added:
    """What became of the photos that were to be added."""

    kept: Kept
    added: tuple[str, ...]
    """Names."""
    known: tuple[str, ...]
    """Names of photos that the bundle holds already."""
    empty: tuple[str, ...]
    """Names of photos that show no squares; they aren't kept."""


class Catalogue:
    """A catalogue file, open.

    Parameters
    ----------
    path : Path, optional
        Made if missing; where the environment says, or in the user's data folder, if None.
    patience : float
        Seconds for which to wait while another command writes.

    Raises
    ------
    CatalogueError
        It can't be opened, or is no catalogue.
    """

    def __init__(self, path: Path | None = None, patience: float = PATIENCE) -> None:
        self.path = path or default_file()
        self._sql = connect(self.path, patience)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._sql.close()

    # ------------------------------------------------------------------ reading

    def lines(self) -> tuple[BundleLine, ...]:
        """List the bundles by name."""
        with explained(self.path), snapshot(self._sql):
            return reading.lines(self._sql)

    def bundle(self, name: str) -> Kept:
        """Return a bundle as it stands."""
        with explained(self.path), snapshot(self._sql):
            return reading.kept(reading.record(self._sql, reading.bundle_id(self._sql, name)))

    def head(self, number: int) -> tuple[str, int]:
        """Return the name and version of the bundle of a number.

        Raises
        ------
        CatalogueError
            There is none.
        """
        with explained(self.path):
            return reading.head(self._sql, number)

    def photo(self, number: int) -> KeptPhoto | None:
        """Return the photo of a number; None for none."""
        with explained(self.path):
            return reading.photo(self._sql, number)

    def crop(self, square: int) -> bytes | None:
        """Return the crop of the square of a number as JPEG; None for none."""
        with explained(self.path):
            return reading.crop(self._sql, square)

    def content(self, photo: int) -> bytes:
        """Return a photo's file."""
        with explained(self.path), snapshot(self._sql):
            return reading.content_of_photo(self._sql, photo)

    def crops(self, kept: Kept) -> Mapping[str, bytes]:
        """Return each live square's crop as JPEG, by label."""
        with explained(self.path), snapshot(self._sql):
            rows = self._sql.execute(
                """select w.label, c.jpeg from swatches w join crops c using (square_id)
                where w.bundle_id = ?""",
                (kept.id,),
            )
            return {row["label"]: bytes(row["jpeg"]) for row in rows}

    # ------------------------------------------------------------------ changing

    def add(
        self,
        name: str,
        side: Fraction | None,
        photos: Sequence[tuple[Looked, bytes]],
        *,
        ground: Ground | None = None,
        tell: Teller = silent,
    ) -> Added:
        """Add photos to a bundle, which is made if missing.

        Parameters
        ----------
        name : str
        side : Fraction, optional
            What the squares measure, inches; 5 for a new bundle if None.
        photos : sequence of (Looked, bytes)
            Read without a problem. Those that the bundle holds already are passed over.
        ground : optional
            What the squares of these photos lie on.
        tell : callable
            Told what is being done.

        Raises
        ------
        CatalogueError
            The bundle's squares are of another size; the name can't be kept.
        NoSquaresError
            None of the photos shows any.
        """
        name = fit_name(name)
        for _ in range(TRIES):
            with explained(self.path):
                rows = self._existing(name)
                _same_side(rows, side)
                fresh, known, empty = _sorted_out(rows, photos)
                if not fresh:
                    if rows is None or not known:
                        raise NoSquaresError(
                            f"{' and '.join(empty) or 'no photo'}: no squares found",
                            "lay the squares flat and photograph them whole",
                        )
                    return Added(reading.kept(rows), (), known, empty)
                added = self._put_photos(name, side, rows, fresh, ground, tell)
            if added:
                names = tuple(looked.name for looked, _ in fresh)
                return Added(self.bundle(name), names, known, empty)
        raise _busy(name)

    def do(
        self,
        name: str,
        deeds: Sequence[Deed],
        *,
        seen_version: int | None = None,
        tell: Teller = silent,
    ) -> Kept:
        """Do deeds to a bundle, all or none.

        Parameters
        ----------
        name : str
        deeds : sequence of Deed
        seen_version : int, optional
            The version that the one who asks last saw.
        tell : callable
            Told what is being done.

        Raises
        ------
        StaleError
            The bundle has another version by now.
        """

        def next_deeds(rows: Record) -> tuple[Deed, ...]:
            made = rows.version + 1
            return (*rows.deeds, *(replace(one, made=made, at=writing.now()) for one in deeds))

        return self._change(name, next_deeds, seen_version, tell)

    def undo(
        self, name: str, number: int | None = None, *, seen_version: int | None = None,
        tell: Teller = silent,
    ) -> Kept:  # fmt: skip
        """Undo the last deed that holds, or the one of a number."""

        def undone(rows: Record) -> tuple[Deed, ...]:
            last = next_undone(rows.deeds, number)
            if last is None:
                raise CatalogueError(
                    f"there is nothing to undo in {rows.name}"
                    if number is None
                    else f"no {number} of {rows.name} holds",
                    f"calicount history {_quoted(rows.name)} lists what was done",
                )
            return _with(rows.deeds, last.number, undone=rows.version + 1)

        return self._change(name, undone, seen_version, tell)

    def redo(
        self, name: str, number: int | None = None, *, seen_version: int | None = None,
        tell: Teller = silent,
    ) -> Kept:  # fmt: skip
        """Do again what was undone last, if nothing was done since; or the deed of a number."""

        def redone(rows: Record) -> tuple[Deed, ...]:
            again = next_redone(rows.deeds, number)
            if again is None:
                raise CatalogueError(
                    f"there is nothing to do again in {rows.name}",
                    f"calicount history {_quoted(rows.name)} lists what was done",
                )
            return _with(rows.deeds, again.number, undone=0)

        return self._change(name, redone, seen_version, tell)

    def rename(self, name: str, other: str) -> None:
        """Give a bundle another name."""
        other = fit_name(other)
        with explained(self.path), transaction(self._sql):
            number = reading.bundle_id(self._sql, name)
            taken = self._sql.execute(
                "select id from bundles where name = ? and id <> ?", (other, number)
            ).fetchone()
            if taken:
                raise CatalogueError(f"there is a bundle {other} already", "choose another name")
            self._sql.execute("update bundles set name = ? where id = ?", (other, number))
            writing.rise(self._sql, number)

    def remove(self, name: str) -> None:
        """Remove a bundle with its photos and all that was said of it."""
        with explained(self.path), transaction(self._sql):
            number = reading.bundle_id(self._sql, name)
            self._sql.execute("delete from bundles where id = ?", (number,))

    def keep_count(
        self, kept: Kept, head: Mapping[str, str | int],
        sets: Sequence[tuple[int, str, float, float, str, str, tuple[int, ...]]],
    ) -> None:  # fmt: skip
        """Keep a count of a bundle; see `catalog.kept.writing.put_count`."""
        with explained(self.path), transaction(self._sql):
            reading.head(self._sql, kept.id)  # says so if it has been removed meanwhile
            writing.put_count(self._sql, kept.id, head, sets)

    # ------------------------------------------------------------------ inside

    @property
    def connection(self) -> sqlite3.Connection:
        """The open database, for `catalog.kept`'s own modules."""
        return self._sql

    def _existing(self, name: str) -> Record | None:
        with snapshot(self._sql):
            row = self._sql.execute("select id from bundles where name = ?", (name,)).fetchone()
            return reading.record(self._sql, row["id"]) if row else None

    def _put_photos(
        self, name: str, side: Fraction | None, rows: Record | None,
        fresh: Sequence[tuple[Looked, bytes]], ground: Ground | None, tell: Teller,
    ) -> bool:  # fmt: skip
        """Add photos in one transaction; False where the bundle was changed meanwhile.

        They are put in on trial first, without their files, so that their squares have numbers
        by which all can be settled, and nobody has to wait for that.
        """
        with trial(self._sql):
            tried = self._put_in(name, side, rows, [(one, b"") for one, _ in fresh], ground)
        if tried is None:
            return False
        now, new = tried
        contents = dict(zip(new, (content for _, content in fresh), strict=True))
        settled = self._settled(now, tell, new, contents)
        with transaction(self._sql):
            done = self._put_in(name, side, rows, fresh, ground)
            if done is None:
                return False
            now, final = done
            final_form = writing.under_numbers(settled, new, final)
            writing.put_settled(self._sql, now.id, final_form, replay(now.seen, now.deeds))
        return True

    def _put_in(
        self, name: str, side: Fraction | None, rows: Record | None,
        fresh: Sequence[tuple[Looked, bytes]], ground: Ground | None,
    ) -> tuple[Record, dict[int, Fresh]] | None:  # fmt: skip
        """Put photos in; give the bundle with them, and the numbers of their squares."""
        if rows is None:
            if self._sql.execute("select 1 from bundles where name = ?", (name,)).fetchone():
                return None
            number = writing.make_bundle(self._sql, name, str(side or Fraction(5)))
        else:
            number = rows.id
            if not self._at_version(number, rows.version):
                return None
        version = writing.rise(self._sql, number)
        new: dict[int, Fresh] = {}
        for looked, content in fresh:
            photo, squares = writing.put_photo(self._sql, number, looked, content)
            new[photo] = (looked, squares)
            if ground is not None:
                writing.put_deed(self._sql, number, say.ground(photo, ground), version)
        return reading.record(self._sql, number), new

    def _change(
        self,
        name: str,
        next_deeds: Callable[[Record], tuple[Deed, ...]],
        seen_version: int | None,
        tell: Teller,
    ) -> Kept:
        for _ in range(TRIES):
            with explained(self.path):
                with snapshot(self._sql):
                    rows = reading.record(self._sql, reading.bundle_id(self._sql, name))
                if seen_version is not None and rows.version != seen_version:
                    raise StaleError(
                        f"{rows.name} has been changed elsewhere meanwhile",
                        "look at it as it is now, and do it again",
                    )
                kept = self._written(rows, next_deeds(rows), tell)
            if kept is not None:
                return kept
        raise _busy(name)

    def _written(self, rows: Record, deeds: Sequence[Deed], tell: Teller) -> Kept | None:
        """Work out and write a bundle's new deeds; None where it was changed meanwhile."""
        missing = [one for one in deeds if one.kind == "missed" and not one.args["square"]]
        if missing:
            return self._written_with_squares(rows, deeds, tell)
        after = replace(rows, deeds=tuple(deeds))
        settled = self._settled(after, tell)
        with transaction(self._sql):
            return self._write(rows, after, settled)

    def _written_with_squares(
        self, rows: Record, deeds: Sequence[Deed], tell: Teller
    ) -> Kept | None:
        """As `_written`, where a drawn square needs a number first."""
        with transaction(self._sql):
            if not self._at_version(rows.id, rows.version):
                return None
            numbered = []
            for one in deeds:
                args = dict(one.args)
                if one.kind == "missed" and not args["square"]:
                    label = writing.loose_label(self._sql, rows.id)
                    args["square"] = writing.put_square(
                        self._sql, rows.id, args["photo"], label, None
                    )
                numbered.append(replace(one, args=args))
            now = replace(reading.record(self._sql, rows.id), deeds=tuple(numbered))
            return self._write(rows, now, self._settled(now, tell))

    def _write(self, rows: Record, after: Record, settled: Settled) -> Kept | None:
        if not self._at_version(rows.id, rows.version):
            return None
        version = writing.rise(self._sql, rows.id)
        old = {one.number: one for one in rows.deeds}
        for one in after.deeds:
            if one.number == 0:
                writing.put_deed(self._sql, rows.id, one, version)
            elif one.undone != old[one.number].undone:
                self._sql.execute(
                    "update deeds set undone = ? where bundle_id = ? and number = ?",
                    (one.undone, rows.id, one.number),
                )
        state = replay(after.seen, after.deeds)
        writing.put_settled(self._sql, rows.id, settled, state)
        return reading.kept(reading.record(self._sql, rows.id))

    def _settled(
        self, rows: Record, tell: Teller, fresh: Mapping[int, Fresh] = MappingProxyType({}),
        contents: Mapping[int, bytes] = MappingProxyType({}),
    ) -> Settled:  # fmt: skip
        from catalog.kept.settling import settle  # heavy, and not needed to read

        return settle(
            rows,
            replay(rows.seen, rows.deeds),
            lambda photo: contents.get(photo) or reading.content_of_photo(self._sql, photo),
            lambda photo: reading.light_of_photo(self._sql, photo),
            tell,
            fresh,
        )

    def _at_version(self, number: int, version: int) -> bool:
        row = self._sql.execute("select version from bundles where id = ?", (number,)).fetchone()
        return row is not None and row["version"] == version


def _sorted_out(
    rows: Record | None, photos: Sequence[tuple[Looked, bytes]]
) -> tuple[list[tuple[Looked, bytes]], tuple[str, ...], tuple[str, ...]]:
    """Part photos into new ones, those known by content, and those without squares."""
    seen = {photo.digest for photo in rows.photos} if rows else set()
    fresh, known, empty = [], [], []
    for looked, content in photos:
        if looked.digest in seen:
            known.append(looked.name)
        elif not looked.found.squares:
            empty.append(looked.name)
        else:
            fresh.append((looked, content))
        seen.add(looked.digest)
    return fresh, tuple(known), tuple(empty)


def _same_side(rows: Record | None, side: Fraction | None) -> None:
    if rows is not None and side is not None and side != rows.side:
        raise CatalogueError(
            f"the squares of {rows.name} measure {rows.side} in",
            "leave --square out, or give these photos a bundle of their own",
        )


def _with(deeds: Sequence[Deed], number: int, *, undone: int) -> tuple[Deed, ...]:
    return tuple(replace(one, undone=undone) if one.number == number else one for one in deeds)


def fit_name(name: str) -> str:
    """Return a bundle's name as it is kept.

    Raises
    ------
    CatalogueError
        It can't be kept.
    """
    tidied = reading.tidy(name)
    if not 1 <= len(tidied) <= 80:
        raise CatalogueError(
            f"a bundle can't be called '{tidied[:80]}'", "choose a name of 1 to 80 letters"
        )
    return tidied


def _quoted(name: str) -> str:
    return f'"{name}"' if " " in name else name


def _busy(name: str) -> CatalogueError:
    return CatalogueError(
        f"others keep changing {name}", "wait until their work is done and try again"
    )
