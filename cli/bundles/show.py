"""``calicount show``: a kept bundle as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cli import console
from cli.bundles.open_bundle import opened
from cli.options import BundleName, Manner

if TYPE_CHECKING:
    from catalog.catalogue.records import Kept


def show(
    name: BundleName,
    *,
    manner: Manner,
) -> None:
    """Show a bundle: its squares with colour, value, fabric and what they are used for.

    For example:

    calicount show blues

    calicount show blues --json
    """
    with opened(manner, reading=True) as file:
        kept = file.bundle(name)
    from cli.bundles.bundle_json import bundle_object

    console.answer(manner, lambda: bundle_object(kept), lambda: _say(kept))


def _say(kept: Kept) -> None:
    from cli.bundles import show_words as words

    columns, rows = words.square_table(kept)
    if rows:
        console.table(words.title(kept), columns, rows, words=len(columns))
        console.say("")
    else:
        console.tell(words.title(kept))
    console.tell_lines(words.bundle_lines(kept))
