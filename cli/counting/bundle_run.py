"""A kept bundle counted by its name: what is free of it, and as a person said."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from catalog.errors import PhotoError, UsageError
from catalog.phrases import count_of
from cli import completion, console
from cli.bundles.open_bundle import opened, quoted, refuse_used, sentence, squares_of
from cli.corrections.rules import standing_order
from cli.counting.count_request import Order
from cli.counting.count_run import Done, Ready, finish, import_beside, prepare, run_count
from cli.counting.count_words import tell_count

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import Kept
    from catalog.models import MatchRules
    from catalog.pipeline import Count, PhotoResult
    from catalog.planning import Planned
    from cli.options import Manner

    Files = Mapping[str, bytes | str]
    PagesOf = Callable[[Catalogue, Kept, Ready, Count, Planned | None, Files], Files]

OF_PHOTOS: Final = ("square", "white", "grey", "ground")
"""What an order may say of photos and not of a bundle, which knows it already."""


def run_count_of(words: Sequence[Path], given: Mapping[str, Any], manner: Manner) -> bool:
    """Count photos, or the kept bundle that is named.

    Parameters
    ----------
    words : sequence of Path
        As typed where photos are expected.
    given : mapping
        Fields of `Order` that were typed.

    Returns
    -------
    bool
        Whether the bundle falls short.
    """
    kept = {name.casefold() for name in completion.kept_names(manner.catalogue)}
    named = [word for word in words if not _is_file(word) and _name(word).casefold() in kept]
    if named and len(words) == 1:
        return not count_bundle(_name(named[0]), given, manner).result.tally.enough
    if named:
        raise UsageError(
            f"'{named[0]}' is a bundle that you keep and not a photo",
            f"count it by itself: calicount count {quoted(_name(named[0]))}",
        )
    if len(words) == 1 and not _is_there(words[0]) and not words[0].suffix:
        raise PhotoError(
            f"there is neither a photo nor a kept bundle called '{_printable(words[0])}'",
            "check the name and the folder; calicount bundles lists what is kept",
        )
    return run_count(Order(photos=tuple(words), **given))


def count_bundle(
    name: str,
    given: Mapping[str, Any],
    manner: Manner,
    more: Sequence[str] = (),
    pages: PagesOf | None = None,
) -> Done:
    """Count what is free of a kept bundle, write the files, keep the count and tell it.

    Parameters
    ----------
    name : str
    given : mapping
        Fields of `Order` that were typed; for the others the bundle's standing rules hold.
    manner : Manner
    more : sequence of str
        Names of further files.
    pages : callable, optional
        Makes them from catalogue, bundle, order, count, plan and the files made so far; the
        photos are in them, so no pictures of what was found are written beside them.
    """
    keeps = _may_be_written(manner)
    with opened(manner, reading=not keeps) as catalogue, console.progress() as tell:
        kept = catalogue.bundle(name)
        order = order_of(kept, given)
        ready = prepare(order, 0 if pages else len(kept.photos), more)
        ready = replace(ready, rules=rules_for(kept, ready.rules))
        import_beside("sklearn.cluster")
        from catalog.catalogue.bundle_count import count_kept, rows_of

        kept = _with_families(kept, given.get("families"))
        result = count_kept(
            kept, ready.title, ready.needs, ready.rules, tell,
            only_within=ready.within, photos=photos_of(catalogue, kept, tell),
        )  # fmt: skip
        done = finish(
            ready,
            result,
            tell,
            pages=partial(pages, catalogue, kept) if pages else None,
            hang=partial(_hung, kept, order),
        )
        if keeps:
            catalogue.keep_count(kept, *rows_of(kept, result, order.pattern or "", ready.rules))
    tell_count(done, kept_lines(kept), {"bundle": bundle_object(kept)})
    if not keeps:
        console.complain("the catalogue may not be written to, so this count isn't kept in it.")
    return done


def _may_be_written(manner: Manner) -> bool:
    from catalog.catalogue.store.catalogue_file import default_file
    from catalog.catalogue.store.file_identity import may_be_written

    return may_be_written(manner.catalogue or default_file())


def order_of(kept: Kept, given: Mapping[str, Any]) -> Order:
    """Return the order for a bundle: its standing rules, and what was typed over them.

    Raises
    ------
    UsageError
        Something was typed that the bundle knows already.
    """
    for option in OF_PHOTOS:
        if option in given:
            light = f"calicount light {quoted(kept.name)} --{option} {given[option]}"
            raise UsageError(
                f"--{option} is for photos, and {kept.name} is kept already",
                "leave it out" if option == "square" else f"say it once: {light}",
            )
    standing = {field: value for field, value in asdict(standing_order(kept.state.rules)).items()
                if field not in given}  # fmt: skip
    if "pattern" in given:
        standing.pop("set_size", None)  # the pattern says how many squares match
    return Order(**{**standing, "square": str(kept.side), **given})


def rules_for(kept: Kept, rules: MatchRules) -> MatchRules:
    """Add the bundle's locks, bans and squares held back to a count's rules.

    Raises
    ------
    CatalogueError
        A square that was typed isn't in the bundle, or can't be in the set that it is locked in.
    """
    from catalog.catalogue.bundle_count import rules_of

    typed = [*(label for lock in rules.locked for label in lock), *rules.held_back,
             *(label for pair in rules.forbidden for label in pair)]  # fmt: skip
    squares_of(kept, typed)
    for label in (label for lock in rules.locked for label in lock):
        refuse_used(kept.by_label[label])
    return rules_of(kept, over=rules)


def photos_of(catalogue: Catalogue, kept: Kept, tell: Any) -> list[PhotoResult]:  # noqa: ANN401
    """Decode a bundle's photos."""
    from catalog.catalogue.derived_swatches import found_of
    from catalog.photo import decode_photo
    from catalog.pipeline import PhotoResult

    results = []
    for photo in kept.photos:
        tell(f"reading {photo.name}")
        decoded = replace(decode_photo(catalogue.content(photo.id), photo.name), name=photo.name)
        squares = [one for one in kept.by_label.values() if one.photo == photo.id]
        results.append(PhotoResult(decoded, found_of(photo, squares), catalogue.light(photo.id)))
    return results


def kept_lines(kept: Kept) -> list[str]:
    """Say what the count leaves out, and what was said and can no longer hold."""
    used: dict[str, int] = {}
    for square in kept.by_label.values():
        if not square.free:
            used[square.why_not_free] = used.get(square.why_not_free, 0) + 1
    lines = []
    if used:
        told = ", ".join(f"{count_of(number, 'square')} {why}" for why, number in used.items())
        lines.append(f"{kept.name}, without {told}.")
    return [*lines, *(sentence(note) for note in kept.state.notes)]


def bundle_object(kept: Kept) -> dict[str, Any]:
    """Return what the JSON object tells of the bundle."""
    return {
        "name": kept.name,
        "version": kept.version,
        "not_free": [
            {"square": label, "state": square.why_not_free}
            for label, square in kept.by_label.items()
            if not square.free
        ],
        "notes": list(kept.state.notes),
    }


def _hung(kept: Kept, order: Order, planned: Planned) -> Planned:
    """Hang blocks where a person put them on the sorting page."""
    from catalog.catalogue.events.wall_events import as_hung, wall_name

    hung, _ = as_hung(planned, wall_name(wall_pattern(order), planned), kept)
    return hung


def wall_pattern(order: Order) -> str:
    """Return the name by which the sorting page knows a pattern's walls."""
    from catalog.catalogue.events.wall_events import SETS_ALONE, name_of_text
    from catalog.pattern.pattern_file import pattern_text, shipped_files

    if order.pattern is None:
        return SETS_ALONE
    shipped = order.pattern.strip().casefold().replace(" ", "-")
    if shipped in shipped_files():
        return shipped
    return name_of_text(pattern_text(order.pattern))


def _with_families(kept: Kept, families: int | None) -> Kept:
    if families is None:
        return kept
    from catalog.bundle.families import tell_families

    return replace(kept, swatches=tell_families(kept.swatches, families))


def _name(word: Path) -> str:
    """Return a bundle's name as it was typed, in spite of being taken for a path."""
    return " ".join(str(word).split())


def _is_file(word: Path) -> bool:
    return os.path.isfile(word)  # noqa: PTH113 - a path may be too long to be asked of


def _is_there(word: Path) -> bool:
    return os.path.exists(word)  # noqa: PTH110 - a path may be too long to be asked of


def _printable(word: Path) -> str:
    return "".join(c if c.isprintable() else "?" for c in str(word))[:80]
