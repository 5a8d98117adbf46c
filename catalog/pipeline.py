"""The order of the stages, and nothing else."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from catalog.bundle.eligibility import requests_of
from catalog.bundle.fabrics import tell_fabrics
from catalog.bundle.families import tell_families
from catalog.bundle.naming.square_names import tell_names
from catalog.bundle.photo_doubts import with_own_flags
from catalog.bundle.tally import count_needs
from catalog.colour.shared_differences import differences_shared
from catalog.count_results import Bundle, Count, PhotoResult
from catalog.errors import NoSquaresError
from catalog.finding import find_squares
from catalog.finding.early_look import EarlyLook
from catalog.light import estimate_light, without_chart
from catalog.matching.lock_notes import lock_notes
from catalog.matching.rematches import sets_when_moved
from catalog.matching.sets_for_needs import choose_sets
from catalog.matching.stability import flag_doubtful, flag_standing
from catalog.measuring import hints_by_photo, label_bundle, measure, value_bundle
from catalog.models import (
    ColourTerms,
    Found,
    Light,
    LightHints,
    Matching,
    MatchRules,
    Need,
    Photo,
    Swatch,
    Tally,
)
from catalog.photo import read_photo
from catalog.phrases import printable
from catalog.system.early_imports import import_early
from catalog.system.progress import Progress
from catalog.system.shipped_network import forget_networks


def catalogue(
    paths: Sequence[Path],
    side_in: float | Sequence[float],
    families: int | None,
    tell: Progress,
    hints: LightHints | None = None,
    terms: ColourTerms = "standard",
    begun: Callable[[Path], EarlyLook | None] | None = None,
    measured: Callable[[Sequence[Photo], Sequence[Swatch]], None] | None = None,
) -> Bundle:
    """Photographs of one bundle to its swatches.

    Parameters
    ----------
    paths : sequence of Path
        The photos, in the order in which their rows are to be counted.
    side_in : float or sequence of float
        What the squares measure, inches; one for each photo where they hold several kinds, of which
        the first is the bundle's.
    families : int, optional
        How many colour families to make; None leaves it to the data.
    tell : callable
        Told what is being done.
    hints : LightHints, optional
        What the user says of the photos, with labels as in the bundle.
    terms : {"standard", "everyday"}
        What colours are called by (see `tell_names`).
    begun : callable, optional
        Gives what was begun to be seen of a photo before, if anything, and keeps nothing of it.
    measured : callable, optional
        Told the photos and their squares before these are told apart, to begin beside that what
        needs neither fabrics nor families.

    Raises
    ------
    PhotoError
        A photo can't be read.
    UsageError
        A hint names no square.
    NoSquaresError
        No photo shows any.
    """
    seen: list[tuple[Photo, Found]] = []
    hints = hints or LightHints()
    sides = [side_in] * len(paths) if isinstance(side_in, float) else list(side_in)
    for path, name, side in zip(paths, photo_names(paths), sides, strict=True):
        tell(f"reading {path.name}")
        look = begun(path) if begun else None
        photo = replace(look.photo() if look else read_photo(path), name=name)
        tell(f"looking for squares in {path.name}")
        first = not any(earlier.squares for _, earlier in seen)
        ready = _get_ready if first else None
        found = find_squares(photo, side, hints.reference_bar, ready, look)
        del look  # and with it halves of the photo
        seen.append((photo, _said(without_chart(photo, found), side, sides[0])))
    forget_networks()
    results, groups = _measured(seen, hints, tell)
    forget_networks()
    if not any(groups):
        raise NoSquaresError(_none_found(results), "lay the squares flat and photograph them whole")
    swatches = value_bundle(with_own_flags(label_bundle(groups)))
    if measured:
        measured([photo for photo, _ in seen], swatches)
    tell("telling fabrics and colour families apart")
    named = tell_names(tell_fabrics(swatches), terms)
    return Bundle(tuple(results), tell_families(named, families))


def _get_ready() -> None:
    """Begin to import what tells squares apart, beside the rest of finding them.

    What the detector took goes first, and makes room for it.
    """
    forget_networks()
    import_early("rustworkx")


def _said(found: Found, side: float, usual: float) -> Found:
    """Return a photo's squares with their size, where it is another than the bundle's."""
    if side == usual:
        return found
    squares = tuple(replace(square, said_in=side) for square in found.squares)
    return replace(found, squares=squares)


def _measured(
    seen: Sequence[tuple[Photo, Found]], hints: LightHints, tell: Progress
) -> tuple[list[PhotoResult], list[tuple[Swatch, ...]]]:
    """Measure the squares of all photos in lights that were brought together."""
    if not any(found.squares for _, found in seen):
        return [PhotoResult(photo, found, None) for photo, found in seen], []
    lights: list[Light | None] = []
    for (photo, found), said in zip(
        seen, hints_by_photo([found for _, found in seen], hints), strict=True
    ):
        tell(f"measuring {len(found.squares)} squares in {photo.name}")
        lights.append(estimate_light(photo, found, said) if found.squares else None)
    groups = [
        measure(*one, light) if light else () for one, light in zip(seen, lights, strict=True)
    ]
    if len(seen) > 1:
        from catalog.analysis import changed_lights

        for number, light in list(changed_lights(lights, groups)):
            lights[number], groups[number] = light, measure(*seen[number], light)
    results = [PhotoResult(*one, light) for one, light in zip(seen, lights, strict=True)]
    return results, groups


def count(
    bundle: Bundle,
    title: str,
    needs: Sequence[Need],
    rules: MatchRules,
    tell: Progress,
    *,
    doubts: bool = True,
    chosen: Callable[[Count], None] | None = None,
) -> Count:
    """Match a bundle's squares for the needs of a pattern, and count.

    Parameters
    ----------
    bundle : Bundle
    title : str
        Of the pattern.
    needs : sequence of Need
    rules : MatchRules
        Without ``within`` every set counts as a match.
    tell : callable
        Told what is being done.
    doubts : bool
        Flag the sets that the photos leave open, which takes several times as long.
    chosen : callable, optional
        Told the count before that, to begin beside it what needs no such flags.
    """
    tell("choosing the sets")
    swatches = bundle.swatches

    def tallied(matching: Matching) -> Tally:
        return count_needs(
            title,
            needs,
            swatches,
            matching.sets,
            tolerance=rules.within,
            held_back=rules.held_back,
            likeness=rules.likeness,
        )

    with differences_shared():
        matching = choose_sets(swatches, needs, rules)
        tally = tallied(matching)
        if chosen:
            chosen(Count(bundle, matching, tally))
        if doubts:
            matching = _with_doubts(swatches, needs, rules, matching)
    notes = lock_notes(
        rules,
        requests_of(needs, swatches),
        matching,
        tally,
        lambda other: tallied(choose_sets(swatches, needs, other)),
    )
    return Count(bundle, matching, tally, notes)


def _with_doubts(
    swatches: Sequence[Swatch], needs: Sequence[Need], rules: MatchRules, matching: Matching
) -> Matching:
    """Flag the sets that the photos leave open, whether they stand or not."""
    free = replace(rules, standing=())
    choice = choose_sets(swatches, needs, free) if rules.standing else matching
    flagged = flag_doubtful(
        swatches, choice, lambda moves: sets_when_moved(swatches, needs, free, moves)
    )
    return flag_standing(matching, flagged) if rules.standing else flagged


def photo_names(paths: Sequence[Path]) -> list[str]:
    """File names fit to print, with as much of the folder as keeps them apart."""
    names: list[str] = []
    for depth in range(1, max(len(path.parts) for path in paths) + 1):
        names = [printable("/".join(path.parts[-depth:])) for path in paths]
        if len(set(names)) == len(names):
            break
    return names


def _none_found(results: Sequence[PhotoResult]) -> str:
    names = " and ".join(result.photo.name for result in results)
    cut = sum(result.found.cut_off for result in results)
    if any(result.found.chart_patches for result in results):
        return f"{names}: only a colour chart found, no squares of cloth beside it"
    if any(result.found.page for result in results):
        return f"{names}: only a reference page found, no squares of cloth beside it"
    if cut:
        return f"{names}: no whole squares found, though {cut} at the edge of the picture"
    return f"{names}: no squares found"
