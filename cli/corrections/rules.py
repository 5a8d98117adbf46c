"""``calicount rules``: how a kept bundle's sets are chosen unless a command says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from cli import console
from cli.bundles.open_bundle import change, opened, sentence
from cli.counting.count_request import Order, Sameness, needs_of, rules_of
from cli.options import BundleName, Manner

if TYPE_CHECKING:
    from catalog.catalogue.events.standing_rules import StandingRules
    from catalog.catalogue.records import Kept


def rules(
    name: BundleName,
    set_size: Annotated[
        int | None, typer.Option(help="Squares in a set: 2, 3 or 4.", metavar="NUMBER")
    ] = None,
    families: Annotated[
        int | None,
        typer.Option(help="How many colour families; 0 for as the colours fall.", metavar="NUMBER"),
    ] = None,
    same_fabric: Annotated[
        Sameness | None, typer.Option(help="Whether two squares of one fabric may be in a set.")
    ] = None,
    least_step: Annotated[
        float | None,
        typer.Option(
            help="How much lighter than its darkest a set's lightest must be, of 100.",
            metavar="NUMBER",
        ),
    ] = None,
    most_step: Annotated[
        float | None,
        typer.Option(
            help="How much lighter than its darkest a set's lightest may be.", metavar="NUMBER"
        ),
    ] = None,
    tolerance: Annotated[
        float | None,
        typer.Option(
            help="Largest colour difference in a set that counts, 1 to 20 (CIEDE2000).",
            metavar="NUMBER",
        ),
    ] = None,
    lightness_weight: Annotated[
        float | None,
        typer.Option(
            help="2 makes a step of lightness count half in a difference, as is usual for cloth.",
            metavar="NUMBER",
        ),
    ] = None,
    as_usual: Annotated[
        bool, typer.Option("--as-usual", help="Forget what was said before.", metavar="")
    ] = False,
    *,
    manner: Manner,
) -> None:
    """Show or set how a bundle's sets are chosen from now on.

    For example:

    calicount rules blues

    calicount rules blues --same-fabric avoid --tolerance 6
    """
    said = {
        "set_size": set_size,
        "families": families,
        "same_fabric": same_fabric.value if same_fabric else None,
        "least_step": least_step,
        "most_step": most_step,
        "tolerance": tolerance,
        "lightness_weight": lightness_weight,
    }
    given = {key: value for key, value in said.items() if value is not None}
    if not given and not as_usual:
        _show(name, manner)
        return

    change(name, manner, lambda _, kept: [_new(kept, given, as_usual=as_usual)])


def _new(kept: Kept, given: dict[str, Any], *, as_usual: bool) -> StandingRules:
    """Return the new rules, refused where they make no sense."""
    from msgspec import structs

    from catalog.catalogue.events.standing_rules import StandingRules

    base = StandingRules() if as_usual else kept.state.rules
    new = structs.replace(base, **given)
    if new.families == 0:
        new = structs.replace(new, families=None)
    rules_of(standing_order(new))
    needs_of(standing_order(new))
    return new


def standing_order(standing: StandingRules) -> Order:
    """Return standing rules as the order of a count."""
    return Order(
        photos=(),
        set_size=standing.set_size,
        families=standing.families,
        same_fabric=Sameness(standing.same_fabric),
        least_step=standing.least_step,
        most_step=standing.most_step,
        tolerance=standing.tolerance,
        lightness_weight=standing.lightness_weight,
    )


def _show(name: str, manner: Manner) -> None:
    with opened(manner, reading=True) as catalogue:
        kept = catalogue.bundle(name)
    from msgspec import structs

    from catalog.catalogue.events.standing_rules import rules_words

    rules = structs.asdict(kept.state.rules)
    words = sentence(rules_words(kept.state.rules))[:-1]
    console.answer(
        manner,
        lambda: {"bundle": kept.name, "version": kept.version, "rules": rules},
        lambda: console.tell(f"{kept.name}: {words}; the rest as usual."),
    )
