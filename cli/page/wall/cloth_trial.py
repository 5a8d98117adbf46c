"""A cloth that is bought tried on the wall: its look, and which sets stand out from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any, Final

from msgspec import Meta

from catalog.catalogue.events.event_fields import MAX_NAME
from catalog.errors import CatalogueError, UsageError
from cli.page.input_checks import read

if TYPE_CHECKING:
    from catalog.catalogue.events.wall_events import ClothOnWall
    from catalog.catalogue.records import StoredBundle
    from catalog.cutting.plans import ChosenCloth
    from catalog.planning import Planned
    from cli.page.routes.plan_routes import Plan
    from cli.page.server_state import ServerState

View = dict[str, Any]
ClothName = Annotated[str, Meta(min_length=1, max_length=MAX_NAME, description="a cloth's name")]
Colour = Annotated[str, Meta(pattern="^(#[0-9a-f]{6})?$", description="a colour")]
Number = Annotated[int, Meta(ge=1, le=2**53, description="a number")]
USUAL: Final = ""
"""Stands for the colour of a cloth that nothing is chosen for any more."""


def cloth_trial_view(
    state: ServerState, kept: StoredBundle, plan: Plan, planned: Planned, body: Mapping[str, Any]
) -> View:
    """Return how a cloth would look, the event that keeps it, and which sets stand out from it."""
    from catalog.wall.rehanging.ground_steps import ground_lines, ground_steps
    from cli.page.wall.wall_view import cloths_view

    event = event_of_cloth(state, plan.wall, body)
    before = cloths_view(state, planned, kept)
    names = [one["name"] for one in before]
    if event.cloth not in names:
        raise UsageError("no piece is cut from that cloth", f"choose one of {', '.join(names)}")
    after = planned_with(planned, event)
    shown = cloths_view(state, after, kept)
    bundle = {one.label: one for one in kept.swatches}
    place = names.index(event.cloth)
    was, now = (
        ground_steps(
            planned.quilt, planned.wall, plan.count.sets, bundle, event.cloth, one[place]["L"]
        )
        for one in (before, shown)
    )
    number = {label: one.id for label, one in kept.by_label.items()}
    return {
        "version": kept.version,
        "deeds": [{"kind": event.kind, **event.args}],
        "cloths": shown,
        "lines": list(ground_lines(was, now)),
        "steps": [
            {
                "place": one.place,
                "squares": [number[label] for label in one.squares],
                "says": f"{one.step:.0f}",
                "lost": one.lost,
            }
            for one in now
        ],
    }


def event_of_cloth(state: ServerState, wall: str, body: Mapping[str, Any]) -> ClothOnWall:
    """Return the event that chooses what the page asks to try.

    Raises
    ------
    UsageError
        It is no cloth, colour or square.
    """
    from catalog.catalogue.events.wall_events import ClothOnWall, pattern_of

    given = body.get("choice")
    given = given if isinstance(given, dict) else {}
    cloth = read(given, "cloth", ClothName)
    of_pattern = pattern_of(wall)
    if given.get("square") is None:
        colour = read(given, "colour", Colour)
        return ClothOnWall(of_pattern, cloth, colour)
    from_bundle = state.kept(read(given, "bundle", Number))
    number = read(given, "square", Number)
    label = next((label for label, one in from_bundle.by_label.items() if one.id == number), None)
    swatch = next((one for one in from_bundle.swatches if one.label == label), None)
    if label is None or swatch is None:
        raise UsageError("that square is not in the bundle", "choose another one")
    return ClothOnWall(of_pattern, cloth, hex_of(swatch.lab), from_bundle.name, label)


def hex_of(lab: tuple[float, float, float]) -> str:
    """Return how a screen shows a colour."""
    from catalog.colour.lab import lab_to_srgb8

    return f"#{bytes(lab_to_srgb8(lab)).hex()}"


def planned_with(planned: Planned, event: ClothOnWall) -> Planned:
    """Return a plan with what an event chooses."""
    from catalog.catalogue.records import SaidOfWall

    said = event.after(SaidOfWall(cloths=planned.cloths))
    return replace(planned, cloths=said.cloths)


def picture_of(state: ServerState, kept: StoredBundle, chosen: ChosenCloth | None) -> View | None:
    """Return the picture of the square whose print a cloth has; None where there is none by now."""
    from catalog.catalogue.store.photo_rows import picture_mark
    from cli.page.wall.wall_view import crop_inches

    if chosen is None or not chosen.square:
        return None
    one = kept if chosen.bundle == kept.name else _bundle_called(state, chosen.bundle)
    square = one.by_label.get(chosen.square) if one else None
    swatch = (
        next((each for each in one.swatches if each.label == chosen.square), None) if one else None
    )
    if one is None or square is None or swatch is None:
        return None
    digest = next((photo.digest for photo in one.photos if photo.id == square.photo), "")
    mark = picture_mark(digest, one.measured_from.get(square.photo, ""))
    href = f"/api/crop/{square.id}.jpg?v={mark}"
    return {"href": href, "inches": crop_inches(swatch), "of": f"{chosen.square} of {one.name}"}


def _bundle_called(state: ServerState, name: str) -> StoredBundle | None:
    """Return a bundle by its name; None where there is none."""
    with state.catalogue() as catalogue:
        try:
            return catalogue.bundle(name)
        except CatalogueError:
            return None
