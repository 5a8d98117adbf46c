"""A catalogue of very many squares, made in a minute or two.

    python tests/bench/large_catalogue.py FILE [--bundles 1000] [--squares 100]

The first few bundles are drawn by chance and written as `add` writes them. The others are copies of
these, row by row, each with its colours moved by a step of its own and each square by a little
more, and their digests written by the library. So `check-up` finds nothing wrong with it
(``tests/test_kept_scale.py``). A photo holds fifty squares.
"""

from __future__ import annotations

import argparse
import json
import random
import sqlite3
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from drawn import looked_at, stand_in

from catalog.catalogue.bundle_catalogue import Catalogue
from catalog.catalogue.events.event_kinds import (
    ForbiddenPairs,
    LockedSets,
    MarkedSquares,
    NamedSquares,
    ReservedSets,
    event_of,
)
from catalog.catalogue.index.index_writing import write_index
from catalog.catalogue.store.digests import write_bundle_digests
from catalog.catalogue.store.file_transactions import transaction
from catalog.models import PaletteColour, PrintLook

DRAWN = 8
"""Bundles drawn; the others are their copies."""
ROWS, COLUMNS = 5, 10
SCALES = ("plain", "plain", "tonal", "small", "medium", "large")
WORDS = "amber ash birch clover dusk ember fern frost heron indigo linen moss plum rust sand slate"
_COPIED = (
    "insert into bundles select :to, :name, side, version, added_at from bundles where id = :of",
    """insert into photos select id + :photos, :to, number, name, digest, wide, high, cut_off,
        pixels_per_inch, added_at, light, evidence, expected_error, unevenness, measured_from,
        file_digest from photos where bundle_id = :of""",
    """insert into photo_files select photo_id + :photos, content from photo_files
        where photo_id in (select id from photos where bundle_id = :of)""",
    """insert into squares select id + :squares, :to, photo_id + :photos, label, seen from squares
        where bundle_id = :of""",
    """insert into swatches select square_id + :squares, :to, place, label, square,
        moved(0, square_id, lightness), moved(1, square_id, a), moved(2, square_id, b), print_kind,
        busyness, colour_name, value, fabric, family, role, flags, uncertainty, own_uncertainty,
        signature, state, said, moved_print(square_id, print)
        from swatches where bundle_id = :of""",
    """insert into crops select square_id + :squares, jpeg from crops
        where square_id in (select id from squares where bundle_id = :of)""",
    """insert into deeds (bundle_id, number, kind, args, at, made, undone)
        select :to, number, kind, renumbered(kind, args), at, made, undone
        from deeds where bundle_id = :of""",
    """insert into counts (id, bundle_id, at, title, pattern, rules, tally, enough)
        select :to, :to, at, title, pattern, rules, tally, enough
        from counts where bundle_id = :of""",
    """insert into sets select :to, number, need, difference, value_step, family, flags from sets
        where count_id = (select id from counts where bundle_id = :of)""",
    """insert into set_squares select :to, number, place, square_id + :squares from set_squares
        where count_id = (select id from counts where bundle_id = :of)""",
)
_RANGES = ((4.0, 98.0), (-60.0, 70.0), (-70.0, 85.0))


def make(path: Path, bundles: int, squares: int, setattr_: Callable[..., None] = setattr) -> None:
    """Make a catalogue of so many bundles of so many squares each."""
    drawn = min(DRAWN if squares < 1000 else 1, bundles)
    stand_in(setattr_)
    with Catalogue(path) as catalogue:
        for number in range(drawn):
            catalogue.add(name_of(number), None, _photos(number, squares))
            _used(catalogue, name_of(number))
        sql = catalogue.connection
        sql.execute("pragma synchronous = off")
        photos, many = (
            sql.execute(f"select max(id) from {table}").fetchone()[0]
            for table in ("photos", "squares")
        )
        for number in range(drawn, bundles):
            rounds, of = divmod(number, drawn)
            _copy(sql, of + 1, number + 1, rounds * photos, rounds * many)


def _used(catalogue: Catalogue, name: str) -> None:
    """Let the bundle be one that is worked with: squares cut and named, sets locked and counted."""
    kept = catalogue.bundle(name)
    numbers = [one.id for one in kept.by_label.values()]
    pairs = tuple(zip(numbers[::2], numbers[1::2], strict=False))
    catalogue.do(name, [
        MarkedSquares(tuple(numbers[4::25]), "cut"), MarkedSquares((numbers[7],), "damaged"),
        NamedSquares((numbers[0],), "Sunday"), LockedSets((pairs[0],)), ForbiddenPairs((pairs[1],)),
        ReservedSets.of("porch quilt", pairs[20:23]),
    ])  # fmt: skip
    kept = catalogue.bundle(name)
    free = [one for one in pairs[3:20] if all(kept.state.squares[n].free for n in one)]
    head = {"title": "sets of two", "pattern": "", "rules": "{}", "tally": "[]", "enough": 1}
    sets = [(n, "", 3.0, 9.0, "", "[]", two) for n, two in enumerate(free, start=1)]
    catalogue.keep_count(kept, head, sets)


def name_of(number: int) -> str:
    """Return the name of a bundle, such as ``moss 3``."""
    words = WORDS.split()
    return f"{words[number % len(words)]} {number // len(words) + 1}"


def _photos(number: int, squares: int) -> list:
    count = -(-squares // (ROWS * COLUMNS))
    return [_as_cloth(*looked_at(number * 1000 + n, ROWS, COLUMNS)) for n in range(count)]


def _as_cloth(looked, content):
    """Give a photo's squares palettes such as cloth has: one colour of a plain, more of a print."""
    chance = random.Random(content)
    swatches = tuple(_with_palette(one, chance) for one in looked.swatches)
    return replace(looked, swatches=swatches), content


def _with_palette(swatch, chance):
    scale = chance.choice(SCALES)
    many = 1 if scale == "plain" else chance.randint(2, 5)
    spread = 6.0 if scale == "tonal" else 25.0
    cuts = sorted(chance.random() for _ in range(many - 1))
    shares = sorted((b - a for a, b in zip([0.0, *cuts], [*cuts, 1.0], strict=True)), reverse=True)
    colours = [
        tuple(
            min(max(v + chance.gauss(0, spread), low), high)
            for v, (low, high) in zip(swatch.lab, _RANGES, strict=True)
        )
        for _ in shares
    ]
    labs = colours if many > 1 else [swatch.lab]
    palette = tuple(
        PaletteColour(lab, share, n == 0)
        for n, (lab, share) in enumerate(zip(labs, shares, strict=True))
    )
    look = PrintLook(scale, chance.choice(["", "stripe", "dots"]) if many > 1 else "")
    return replace(swatch, palette=palette, palette_at_wall=palette, look=look)


def _copy(sql: sqlite3.Connection, of: int, to: int, photos: int, squares: int) -> None:
    """Put a copy of a bundle beside it, its photos' and squares' numbers so much higher."""
    chance = random.Random(to)
    step = [chance.uniform(-25, 25) for _ in _RANGES]

    def moved(axis: int, square: int, value: float) -> float:
        low, high = _RANGES[axis]
        own = random.Random(f"{to} {square} {axis}").uniform(-8, 8)
        span = high - low
        place = (value + step[axis] + own - low) % (2 * span)  # turned back at the ends
        return low + (place if place <= span else 2 * span - place)

    def moved_print(square: int, text: str | None) -> str | None:
        if text is None:
            return None
        told = json.loads(text)
        for name in ("palette", "palette_at_wall"):
            for colour in told[name]:
                colour[:3] = [moved(axis, square, colour[axis]) for axis in range(3)]
        return json.dumps(told)

    def renumbered(kind: str, args: str) -> str:
        event = event_of(kind, json.loads(args))
        return json.dumps(event.renumbered(lambda n: n + squares, lambda n: n + photos).args)

    sql.create_function("renumbered", 2, renumbered)
    sql.create_function("moved", 3, moved)
    sql.create_function("moved_print", 2, moved_print)
    names = {"of": of, "to": to, "name": name_of(to - 1), "photos": photos, "squares": squares}
    with transaction(sql):
        for statement in _COPIED:
            sql.execute(statement, names)
        write_bundle_digests(sql, to)
        write_index(sql, to)


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("file", type=Path)
    asked.add_argument("--bundles", type=int, default=1000)
    asked.add_argument("--squares", type=int, default=100)
    given = asked.parse_args()
    make(given.file, given.bundles, given.squares)


if __name__ == "__main__":
    main()
