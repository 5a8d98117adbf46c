"""A kept bundle counted by its name: what is free of it, and as a person said."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.errors import PhotoError, UsageError
from catalog.phrases import printable
from cli import completion, console
from cli.bundles.named_squares import refuse_used, squares_of
from cli.bundles.open_bundle import opened, quoted
from cli.counting.bundle_words import bundle_object, left_out_lines
from cli.counting.count_run import Files, WrittenCount, count_photos, finish
from cli.counting.count_words import tell_count
from cli.counting.output_folder import OutputOptions, folder_for
from cli.counting.typed_count import request_of

if TYPE_CHECKING:
    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.records import StoredBundle
    from catalog.count_request import CountRequest
    from catalog.count_results import Count, PhotoResult
    from catalog.models import MatchRules
    from catalog.planning import Planned
    from catalog.system.progress import Progress
    from cli.counting.count_options import CountOptions
    from cli.options import Manner

    PagesOf = Callable[[Catalogue, StoredBundle, CountRequest, Count, Planned | None, Files], Files]


def count_photos_or_bundle(
    words: Sequence[Path], options: CountOptions, output: OutputOptions, manner: Manner
) -> bool:
    """Count photos, or the kept bundle that is named.

    Parameters
    ----------
    words : sequence of Path
        As typed where photos are expected.
    options : CountOptions
    output : OutputOptions
    manner : Manner

    Returns
    -------
    bool
        Whether the bundle is enough.
    """
    named = _kept_among([word for word in words if not _is_file(word)], manner.catalogue)
    if named and len(words) == 1:
        return count_bundle(_name(named[0]), options, output, manner).result.tally.enough
    if named:
        raise UsageError(
            f"'{named[0]}' is a bundle that you keep and not a photo",
            f"count it by itself: calicount count {quoted(_name(named[0]))}",
        )
    if len(words) == 1 and not _is_there(words[0]) and not words[0].suffix:
        raise PhotoError(
            f"there is neither a photo nor a kept bundle called '{printable(str(words[0]))[:80]}'",
            "check the name and the folder; calicount bundles lists what is kept",
        )
    return count_photos(words, options, output, manner)


def _kept_among(words: Sequence[Path], catalogue: Path | None) -> list[Path]:
    """Return the words that are names of bundles that are kept; none need be opened for none."""
    if not words:
        return []
    kept = {name.casefold() for name in completion.kept_names(catalogue)}
    return [word for word in words if _name(word).casefold() in kept]


def count_bundle(
    name: str,
    options: CountOptions,
    output: OutputOptions,
    manner: Manner,
    more: Sequence[str] = (),
    pages: PagesOf | None = None,
) -> WrittenCount:
    """Count what is free of a kept bundle, write the files, keep the count and tell it.

    Parameters
    ----------
    name : str
    options : CountOptions
        For what wasn't typed the bundle's standing rules hold.
    output : OutputOptions
    manner : Manner
    more : sequence of str
        Names of further files.
    pages : callable, optional
        Makes them from catalogue, bundle, request, count, plan and the files made so far; the
        photos are in them, so no pictures of what was found are written beside them.
    """
    writable = _may_be_written(manner)
    with opened(manner, reading=not writable) as catalogue, console.progress() as tell:
        kept = catalogue.bundle(name)
        _refuse_what_is_known(kept, options)
        request = request_of(options, kept.state.rules, kept.side, catalogue.path)
        folder = folder_for(output, 0 if pages else len(kept.photos), more)
        request = replace(request, rules=rules_for(kept, request.rules))
        from catalog.catalogue.bundle_count import count_kept, hung_by_hand, rows_of, rules_of
        from catalog.catalogue.standing.choices import numbered_sets

        kept = _as_asked(kept, request)
        photos = photos_of(catalogue, kept, tell)
        result = count_kept(kept, request, tell, photos=photos)
        done = finish(
            request,
            folder,
            result,
            tell,
            pages=partial(pages, catalogue, kept, request) if pages else None,
            hang=lambda planned: hung_by_hand(kept, request, planned)[0],
        )
        if writable:
            catalogue.keep_count(kept, *rows_of(kept, result, request))
            if request.pattern is None and request.rules == rules_of(kept):
                catalogue.stand(kept, numbered_sets(kept, result.matching.sets))
    tell_count(done, manner, left_out_lines(kept), {"bundle": bundle_object(kept)})
    if not writable:
        console.complain("the catalogue may not be written to, so this count isn't kept in it.")
    return done


def _may_be_written(manner: Manner) -> bool:
    from catalog.catalogue.store.catalogue_file import default_file
    from catalog.catalogue.store.file_identity import may_be_written

    return may_be_written(manner.catalogue or default_file())


def _refuse_what_is_known(kept: StoredBundle, options: CountOptions) -> None:
    """Refuse what is said of photos where the bundle knows it already.

    Raises
    ------
    UsageError
    """
    if options.square is not None:
        raise UsageError(f"--square is for photos, and {kept.name} is kept already", "leave it out")
    if options.reference_bar is not None:
        raise UsageError(
            f"--reference-bar is for photos, and {kept.name} is kept already",
            "leave it out: its squares were measured when the photos were added",
        )
    light = {"white": options.white, "grey": options.grey, "ground": options.ground}
    typed = [f"--{option} {said}" for option, said in light.items() if said is not None]
    typed += {True: ["--lamp"], False: ["--no-lamp"], None: []}[options.lamp]
    if typed:
        raise UsageError(
            f"{typed[0].split()[0]} is for photos, and {kept.name} is kept already",
            f"say it once: calicount light {quoted(kept.name)} {typed[0]}",
        )


def rules_for(kept: StoredBundle, rules: MatchRules) -> MatchRules:
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
    return rules_of(kept, rules)


def photos_of(catalogue: Catalogue, kept: StoredBundle, tell: Progress) -> list[PhotoResult]:
    """Decode a bundle's photos."""
    from catalog.catalogue.derived_swatches import found_of
    from catalog.count_results import PhotoResult
    from catalog.photo import decode_photo

    results = []
    for photo in kept.photos:
        tell(f"reading {photo.name}")
        decoded = replace(decode_photo(catalogue.content(photo.id), photo.name), name=photo.name)
        squares = [one for one in kept.by_label.values() if one.photo == photo.id]
        results.append(PhotoResult(decoded, found_of(photo, squares), catalogue.light(photo.id)))
    return results


def _as_asked(kept: StoredBundle, request: CountRequest) -> StoredBundle:
    """Return a bundle with the families and names that are asked for, where they are others."""
    if request.terms != kept.state.rules.names:
        from catalog.bundle.naming.square_names import tell_names

        kept = replace(kept, swatches=tell_names(kept.swatches, request.terms))
    if request.families is None:
        return kept
    from catalog.bundle.families import tell_families

    return replace(kept, swatches=tell_families(kept.swatches, request.families))


def _name(word: Path) -> str:
    """Return a bundle's name as it was typed, in spite of being taken for a path."""
    return " ".join(str(word).split())


def _is_file(word: Path) -> bool:
    return os.path.isfile(word)  # noqa: PTH113 - a path may be too long to be asked of


def _is_there(word: Path) -> bool:
    return os.path.exists(word)  # noqa: PTH110 - a path may be too long to be asked of
