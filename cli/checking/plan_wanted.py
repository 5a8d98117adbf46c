"""By which plan a wall should hang: what was typed, else what the bundle has now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import rule_limits
from catalog.errors import CatalogueError, PatternError, UsageError, WallError
from catalog.phrases import listed
from cli.bundles.open_bundle import quoted
from cli.counting.bundle_run import rules_for
from cli.counting.count_options import CountOptions
from cli.counting.typed_count import request_of
from cli.options import WallOrder

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.catalogue.bundle_catalogue import Catalogue
    from catalog.catalogue.hung_plan import HungPlan, SaidWall
    from catalog.catalogue.records import Project, StoredBundle
    from catalog.count_request import CountRequest
    from catalog.system.progress import Progress
    from catalog.wall.put_right.wall_table import WallTable
    from cli.checking.checking_options import CheckingOptions


def table_of(options: CheckingOptions) -> WallTable | None:
    """Read the plan's file where one is named, and its pattern so far as that is told.

    Raises
    ------
    CalicountError
    """
    if options.plan is None:
        return None
    from catalog.wall.put_right.wall_table import read_wall_table

    return read_wall_table(options.plan)


def plan_wanted(
    catalogue: Catalogue,
    kept: StoredBundle,
    options: CheckingOptions,
    table: WallTable | None,
    tell: Progress,
) -> HungPlan:
    """Return the plan by which the wall should hang.

    Raises
    ------
    CalicountError
        There is none, or what was typed makes no sense for the bundle.
    """
    from catalog.catalogue.hung_plan import hung_plan

    request, project = pattern_wanted(catalogue, kept, options)
    if table is not None:
        return _from_table(kept, request, table)
    request = _as_last_hung(kept, request, options)
    tell("planning the wall")
    found = hung_plan(kept, request, project, tell)
    if found is None:
        raise CatalogueError(
            f"no set of {kept.name} serves the plan, so nothing of it can hang",
            "name the pattern with --pattern, or the project whose sets hang with --project",
        )
    return found


def pattern_wanted(
    catalogue: Catalogue, kept: StoredBundle, options: CheckingOptions
) -> tuple[CountRequest, Project | None]:
    """Return what is asked for the pattern that is meant, and the project whose sets hang.

    Raises
    ------
    CalicountError
        None is named and the bundle was never counted, or it can't be read.
    """
    from catalog.catalogue.hung_plan import project_of_count
    from catalog.catalogue.last_count import last_count

    last = last_count(catalogue, kept)
    project = _project(kept, options.project)
    if project is None and options.pattern is None and options.plan is None:
        project = project_of_count(kept, last)
    name = options.pattern
    if name is None:
        name = project.pattern if project and project.pattern else last.pattern if last else ""
        if last is None and not name:
            raise CatalogueError(
                f"{kept.name} was never counted, so there is no plan of a wall yet",
                f"name a pattern with --pattern, or count it: calicount count {quoted(kept.name)}",
            )
    return _request(catalogue, kept, options, name), project


def _project(kept: StoredBundle, named: str | None) -> Project | None:
    if named is None:
        return None
    by_name = {name.casefold(): one for name, one in kept.state.projects.items()}
    found = by_name.get(" ".join(named.split()).casefold())
    if found is None or not found.sets:
        known = listed([name for name, one in kept.state.projects.items() if one.sets])
        raise CatalogueError(
            f"{kept.name} has no project {named[:60]} with sets",
            f"name one of its projects: {known}" if known else "leave --project out",
        )
    return found


def _request(
    catalogue: Catalogue, kept: StoredBundle, options: CheckingOptions, name: str
) -> CountRequest:
    """Return what is asked of the bundle for a pattern, or for sets alone."""
    typed = CountOptions(pattern=name or None, seam=options.seam, order=options.order)
    try:
        request = request_of(typed, kept.state.rules, kept.side, catalogue.path)
    except PatternError as error:
        if options.pattern is not None:
            raise
        raise PatternError(
            f"the pattern that {kept.name} was counted for last can't be read ({error.problem})",
            "name it with --pattern",
        ) from error
    if request.pattern is not None and request.quilt is None:
        raise UsageError(
            f"the pattern {request.pattern.name} doesn't say how its quilt is built, so it has no "
            "wall",
            "add a [block] to it, or name another with --pattern",
        )
    return request


def _as_last_hung(
    kept: StoredBundle, request: CountRequest, options: CheckingOptions
) -> CountRequest:
    """Return a request in the order and size of the wall that a person spoke of last."""
    from dataclasses import replace

    from catalog.catalogue.bundle_count import wall_pattern
    from catalog.catalogue.hung_plan import said_walls
    from catalog.count_request import DEFAULT_ARRANGEMENT

    known = wall_pattern(request.pattern)
    said = _said(said_walls(kept), known, options.order)
    pattern = request.pattern
    written = (pattern.rows, pattern.columns) if pattern else None
    if said and said.size and pattern and said.size != written:
        request = request.of_size(*said.size)
    usual = said.arrangement if said else DEFAULT_ARRANGEMENT
    rules = rules_for(kept, request.rules)
    return replace(request, rules=rules, arrangement=request.arrangement or usual)


def _said(walls: Sequence[SaidWall], pattern: str, order: WallOrder | None) -> SaidWall | None:
    fit = [one for one in walls if one.pattern == pattern[:80]]
    return next((one for one in fit if order is None or one.arrangement == order.value), None)


def _from_table(kept: StoredBundle, request: CountRequest, table: WallTable) -> HungPlan:
    """Return the plan that a file holds, for the pattern that it was made for."""
    from catalog.catalogue.hung_plan import HungPlan
    from catalog.cutting.adapted.adaptation import adapt_pattern
    from catalog.planning import Planned
    from catalog.wall.put_right.planned_table import wall_of_table
    from catalog.wall.put_right.wall_table import labels_in

    if request.pattern is None:
        from catalog.wall.set_grid import quilt_of_sets

        size = max((len(labels_in(row)) for row in table.rows), default=0)
        if not rule_limits.SET_SIZE.hold(size):
            raise WallError(
                f"'{table.name}' doesn't tell by which pattern its blocks are built",
                "name it with --pattern",
            )
        quilt, layout = quilt_of_sets(len(table.rows), size, request.needs[0].name, kept.side)
    elif request.quilt is not None:
        adapted = adapt_pattern(request.quilt, square=request.usable_side, seam=request.seam)
        quilt, layout = adapted.quilt, adapted.layout
    layout, wall = wall_of_table(table, quilt, layout, kept.by_label.keys())
    return HungPlan(Planned(quilt, layout, None, wall, None, ()))
