"""``calicount fits``: which patterns a bundle could make, and which bundles make a pattern."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from catalog.errors import EXIT_SHORT, PatternError, UsageError
from cli import completion, console
from cli.bundles.open_bundle import opened
from cli.options import Manner

if TYPE_CHECKING:
    from collections.abc import Callable

    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.patterns.pattern_fits import PatternFit


def fits(
    name: Annotated[
        str | None,
        typer.Argument(
            help="Name of the bundle; else all of them are tried.",
            metavar="BUNDLE",
            autocompletion=completion.bundles,
        ),
    ] = None,
    pattern: Annotated[
        str | None,
        typer.Option(
            help="Only this pattern, by its name or a file; else all are tried.",
            metavar="NAME|FILE",
            autocompletion=completion.patterns,
        ),
    ] = None,
    *,
    manner: Manner,
) -> None:
    """Tell which patterns a bundle could make, or which bundles make a pattern, and what is short.

    What comes with calicount and what you keep is counted against the squares that are free; the
    command ends with 3 where nothing is enough.

    For example:

    calicount fits blues

    calicount fits --pattern pinwheel
    """
    if name is None and pattern is None:
        raise UsageError(
            "nothing is named to be tried", "name a bundle, or a pattern with --pattern"
        )
    with opened(manner, reading=True) as catalogue, console.progress() as tell:
        found = _tried(catalogue, name, pattern, tell)
    from cli.patterns.fits_json import fit_object
    from cli.patterns.fits_words import say_fits

    console.answer(
        manner,
        lambda: {"fits": [fit_object(one) for one in found]},
        lambda: say_fits(found, one_bundle=name is not None),
    )
    if not any(one.enough for one in found):
        raise typer.Exit(EXIT_SHORT)


def _tried(
    catalogue: Catalogue, name: str | None, pattern: str | None, tell: Callable[[str], None]
) -> tuple[PatternFit, ...]:
    """Count the bundles that are meant for the patterns that are meant."""
    from catalog.catalogue.patterns.named_patterns import find_pattern
    from catalog.catalogue.patterns.pattern_catalogue import OwnPatterns
    from catalog.catalogue.patterns.pattern_fits import (
        fit_of,
        in_order,
        tried_own,
        tried_pattern,
        tried_patterns,
    )

    own = OwnPatterns(catalogue)
    if pattern is None:
        patterns = tried_patterns(own.all())
    else:
        read = find_pattern(pattern, catalogue.path)
        known = own.find(read.name) if read.identity else None
        patterns = (tried_pattern(read) if known is None else tried_own(known),)
    names = [name] if name is not None else [line.name for line in catalogue.lines()]
    if not names:
        raise PatternError(
            "no bundle is kept yet, so no pattern can be tried on one",
            "keep one with: calicount add NAME PHOTO",
        )
    found = []
    for one in names:
        tell(f"trying {one}")
        kept = catalogue.bundle(one)
        found += [fit_of(kept, tried) for tried in patterns]
    return in_order(found)
