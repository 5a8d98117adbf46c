"""``calicount rules``: how a kept bundle's sets are chosen unless a command says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from catalog.phrases import sentence
from cli import console
from cli.bundles.open_bundle import change, opened
from cli.corrections.said_of_bundle import StoredBundle
from cli.counting.count_options import RuleOptions
from cli.counting.typed_count import check_rules, said_over
from cli.options import BundleName, Manner

if TYPE_CHECKING:
    from catalog.catalogue.events.standing_rules import StandingRules


def rules(
    name: BundleName,
    options: RuleOptions,
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
    if options == RuleOptions() and not as_usual:
        _show(name, manner)
        return
    change(name, manner, lambda _, kept: [_new(kept, options, as_usual=as_usual)])


def _new(kept: StoredBundle, options: RuleOptions, *, as_usual: bool) -> StandingRules:
    """Return the new rules, refused where they make no sense."""
    from msgspec import structs

    from catalog.bundle.eligibility import sets_need
    from catalog.catalogue.events.standing_rules import StandingRules

    new = said_over(StandingRules() if as_usual else kept.state.rules, options)
    if new.families == 0:
        new = structs.replace(new, families=None)
    check_rules(new)
    sets_need(new.set_size, None)
    return new


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
