"""Kill a process that works on a catalogue, again and again, and look at what is left.

``PYTHONPATH=. python tests/killed.py FOLDER SEED KILLS`` runs one course of changes over and over,
each time in a process that is killed at some instant, and complains where what is left isn't the
catalogue as it was before or after the change that was under way.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from drawn import corners_at, looked_at, stand_in

from catalog.catalogue.archive.archive_import import import_bundle
from catalog.catalogue.archive.bundle_archive import export_bundle
from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events import event_kinds as say
from catalog.catalogue.store.catalogue_file import connect
from catalog.catalogue.store.integrity import check_up

Change = Callable[[Catalogue, random.Random], object]
COURSE = 18
"""Changes in a course, some of each kind."""
TIMES = {"at", "added_at", "made_from"}
"""Columns that differ from one run to the next: times, and digests of rows with times."""


def add_bundle(catalogue, chance):
    catalogue.add(f"bundle {chance.random()}", None, [looked_at(chance.random(), 2, 3)])


def add_photo(catalogue, chance):
    catalogue.add(chosen(catalogue, chance).name, None, [looked_at(chance.random(), 2, 3)])


def correct(catalogue, chance):
    bundle = chosen(catalogue, chance)
    some = [one.id for one in chance.sample(list(bundle.by_label.values()), 3)]
    deeds = [
        say.MarkedSquares(some[:1], "cut"),
        say.NamedSquares.of(some, f"name {chance.random()}"),
        say.MovedCorners.of(some[1], corners_at(300 * chance.random(), 100)),
        say.LockedSets([some[1:]]),
        say.MissedSquare.of(
            bundle.photos[0].id, corners_at(900, 900 * chance.random()), None, None
        ),
    ]
    catalogue.do(bundle.name, chance.sample(deeds, 2))


def undo(catalogue, chance):
    bundle = chosen(catalogue, chance)
    if any(not one.undone for one in bundle.events):
        catalogue.undo(bundle.name)


def count(catalogue, chance):
    bundle = chosen(catalogue, chance)
    head = {"title": "t", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
    labels = [one.id for one in bundle.by_label.values()]
    sets = [(n, "", 1.0, 1.0, "reds", "[]", (labels[n],)) for n in range(5)]
    catalogue.keep_count(bundle, head, sets)


def remove(catalogue, chance):
    if len(catalogue.lines()) > 2:
        catalogue.remove(chosen(catalogue, chance).name)


def carry(catalogue, chance):
    archive = catalogue.path.with_name(f"{os.getpid()}.zip")
    export_bundle(catalogue.connection, chosen(catalogue, chance).name, archive, over=True)
    import_bundle(catalogue.connection, archive, f"bundle {chance.random()}")


KINDS = (add_bundle, add_photo, correct, correct, correct, undo, count, remove, carry)


def chosen(catalogue, chance):
    return catalogue.bundle(chance.choice(catalogue.lines()).name)


def change(catalogue, seed, number):
    """Do the change of a number; the same catalogue always gives the same."""
    chance = random.Random(f"{seed} {number}")
    (KINDS[number] if number < len(KINDS) else chance.choice(KINDS))(catalogue, chance)


def fingerprint(path):
    """Return a digest of all that a catalogue holds, but when."""
    found = hashlib.sha256()
    with closing(connect(path)) as sql:
        for (table,) in sql.execute(
            "select name from sqlite_schema where type = 'table' and name <> 'seals' order by name"
        ).fetchall():
            rows = sql.execute(f"select * from {table}")
            kept = [n for n, column in enumerate(rows.description) if column[0] not in TIMES]
            for row in sorted([repr([row[n] for n in kept]) for row in rows]):
                found.update(row.encode())
    return found.hexdigest()


def course(folder, seed):
    """Do a whole course; give the fingerprint before each change and after the last, and times."""
    path = folder / "whole.catalogue"
    with Catalogue(path) as catalogue:
        add_bundle(catalogue, random.Random(seed))
    shutil.copy(path, folder / "first.catalogue")
    seen, times = [fingerprint(path)], [0.0]
    for number in range(COURSE):
        began = time.monotonic()
        with Catalogue(path) as catalogue:
            change(catalogue, seed, number)
        times.append(times[-1] + time.monotonic() - began)
        seen.append(fingerprint(path))
    return seen, times


def killed_at(folder, seed, wait):
    """Kill a process that is at a course; give the catalogue and how many changes were done."""
    path = folder / "killed.catalogue"
    for one in folder.glob("killed.*"):
        one.unlink()
    shutil.copy(folder / "first.catalogue", path)
    done, tell = os.pipe()
    child = os.fork()
    if child == 0:
        with Catalogue(path) as catalogue:
            for number in range(COURSE):
                os.write(tell, b".")
                change(catalogue, seed, number)
        os.write(tell, b".")
        os._exit(0)
    os.close(tell)
    time.sleep(wait)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(done, "rb") as stream:
        return path, len(stream.read())


def faults(folder, seed, kills):
    """Yield what was wrong after each kill."""
    stand_in()
    seen, times = course(folder, seed)
    chance = random.Random(seed)
    for _ in range(kills):
        path, begun = killed_at(folder, seed, chance.uniform(0, times[-1]))
        with closing(connect(path)) as sql:
            verdict = check_up(sql)
        if not verdict.well:
            yield f"after {begun} changes were begun: {verdict.faults}"
        if fingerprint(path) not in seen[max(0, begun - 1) : begun + 1]:
            yield f"after {begun} changes were begun: neither the old nor the new"


if __name__ == "__main__":
    where, seed, kills = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    found = list(faults(where, seed, kills))
    print(f"{kills} kills, {len(found)} faults", *found, sep="\n")  # noqa: T201
    sys.exit(bool(found))
