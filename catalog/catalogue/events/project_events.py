"""What a person does with sets: set aside for a project, sewn, given back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, Self

from catalog.catalogue.events.event_base import Event
from catalog.catalogue.events.event_fields import MAX_NAME, Name, ProjectSets, Squares, Text
from catalog.catalogue.records import Project, ProjectSet, Stage
from catalog.errors import CatalogueError

if TYPE_CHECKING:
    from catalog.catalogue.events.event_words import Names
    from catalog.catalogue.events.projection import Projection


class ReservedSets(Event, frozen=True, tag="reserve"):
    """Squares are set aside for a project, set by set."""

    project: Name
    sets: ProjectSets
    pattern: Text
    says = "{sets} set aside for {project}"

    @classmethod
    def of(cls, project: Name, sets: ProjectSets, pattern: Text = "") -> Self:
        name = project_name(project)
        if not any(sets):
            raise CatalogueError(f"nothing was chosen for {name}", "name sets or squares")
        return cls(name, sets, pattern)

    def apply(self, now: Projection) -> None:
        old = now.projects.get(self.project, Project(self.project))
        fresh: list[tuple[int, ...]] = []
        for said in self.sets:
            one = tuple(dict.fromkeys(said))
            if one and all(now.can_be_reserved(number) for number in one):
                fresh.append(one)
                now.change(one, project=self.project, stage="reserved")
        sets = (*old.sets, *(ProjectSet(one) for one in fresh))
        now.projects[self.project] = Project(self.project, self.pattern or old.pattern, sets)
        lost = len(self.sets) - len(fresh)
        if lost:
            now.notes.append(f"{lost} of the sets reserved for {self.project} can no longer be had")


class ProjectStage(Event, frozen=True, tag="stage"):
    """Sets with these squares are sewn, or not after all, but still set aside."""

    project: Name
    squares: Squares
    stage: Stage
    says = "{squares} is sewn for {project}|{squares} are sewn for {project}"

    @classmethod
    def of(cls, project: Name, squares: Squares, stage: Stage) -> Self:
        return cls(project_name(project), squares, stage)

    def apply(self, now: Projection) -> None:
        project = now.projects.get(self.project)
        if project is not None:
            meant = _with(self.squares, project)
            sets = (replace(s, stage=self.stage) if s in meant else s for s in project.sets)
            now.projects[self.project] = replace(project, sets=tuple(sets))
            now.change((n for one in meant for n in one.squares), stage=self.stage)

    def words(self, names: Names) -> str:
        done = "sewn" if self.stage == "sewn" else "set aside, not sewn,"
        return names.told(self.says.replace("sewn", done), self)


class ReturnedSets(Event, frozen=True, tag="returned"):
    """Sets with these squares go back to the bundle."""

    project: Name
    squares: Squares
    says = (
        "{squares} goes back from {project} to the bundle|"
        "{squares} go back from {project} to the bundle"
    )

    @classmethod
    def of(cls, project: Name, squares: Squares) -> Self:
        return cls(project_name(project), squares)

    def apply(self, now: Projection) -> None:
        project = now.projects.get(self.project)
        if project is not None:
            back = _with(self.squares, project)
            left = tuple(one for one in project.sets if one not in back)
            now.projects[self.project] = replace(project, sets=left)
            now.change((n for one in back for n in one.squares), project="", stage=None)


def project_name(text: str) -> str:
    """Return a project's name, fit to be kept.

    Raises
    ------
    CatalogueError
        There is nothing of it.
    """
    name = " ".join(text.split())[:MAX_NAME]
    if not name:
        raise CatalogueError("a project without a name can't be kept", "give it one")
    return name


def _with(squares: Iterable[int], project: Project) -> list[ProjectSet]:
    """Return a project's sets that any of these squares is in."""
    meant = set(squares)
    return [one for one in project.sets if meant & set(one.squares)]
