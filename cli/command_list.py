"""Which commands there are: what the help says of each, and where it is once it is wanted.

Only the command that was asked for is imported, which is half of the time that a small one takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any, Final

import typer
from typer.core import TyperCommand

from cli.command_class import Command, Family, spread_out


@dataclass(frozen=True)
class ListedCommand:
    """A command as the help lists it."""

    at: str
    """Its module and what it is called there, as ``cli.cutting.size:size``."""
    says: str
    """The first paragraph of its help."""


COMMANDS: Final[Mapping[str, Mapping[str, ListedCommand]]] = {
    "Count and plan": {
        "count": ListedCommand(
            "cli.counting.count:count",
            "Find the squares in photos of one bundle, match them into sets, and count them.",
        ),
        "demo": ListedCommand(
            "cli.counting.demo:demo",
            "Count thirty invented squares that come with calicount against a pinwheel quilt.",
        ),
        "patterns": ListedCommand(
            "cli.patterns.pattern_list:patterns",
            "List the patterns that come with calicount, and those that you keep.",
        ),
        "reference": ListedCommand(
            "cli.counting.reference:reference",
            "Make a page to print and lay beside your squares.",
        ),
        "size": ListedCommand(
            "cli.cutting.size:size",
            "Tell what to cut for a unit, or what a square in hand gives.",
        ),
        "seam": ListedCommand(
            "cli.cutting.seam:seam",
            "Tell the seam that you really sew, from a test strip.",
        ),
        "remake": ListedCommand(
            "cli.cutting.remake:remake",
            "Make a pattern over to your squares and your seam: what to cut, trim and buy.",
        ),
        "pattern": ListedCommand(
            "cli.patterns.pattern_group:pattern",
            "Read a pattern as you have it, start one, and keep it.",
        ),
    },
    "Keep bundles": {
        "add": ListedCommand(
            "cli.bundles.add:add",
            "Keep a bundle: add photos of its squares, all at once or over time.",
        ),
        "bundles": ListedCommand(
            "cli.bundles.bundles:bundles",
            "List the bundles that are kept.",
        ),
        "open": ListedCommand(
            "cli.bundles.open_page:open_",
            "Open the sorting page in your browser; nothing leaves this computer.",
        ),
        "show": ListedCommand(
            "cli.bundles.show:show",
            "Show a bundle: its squares with colour, value, fabric and what they are used for.",
        ),
        "wall-check": ListedCommand(
            "cli.checking.wall_check:wall_check",
            "Look at photos of your design wall and hear what hangs otherwise than planned.",
        ),
        "report": ListedCommand(
            "cli.counting.report_pages:report",
            "Make pages of a bundle to look at and to print.",
        ),
        "rename": ListedCommand(
            "cli.bundles.bundles:rename",
            "Give a bundle another name.",
        ),
        "remove": ListedCommand(
            "cli.bundles.bundles:remove",
            "Remove a bundle with its photos and all that was said of it; this can't be undone.",
        ),
    },
    "Put right what a photo got wrong": {
        "light": ListedCommand(
            "cli.corrections.light_hints:light",
            "Say what is white, grey or under the squares, or whether a lamp was on.",
        ),
        "undo": ListedCommand(
            "cli.bundles.history:undo",
            "Take back what the last command said or did, or what has that number in the history.",
        ),
        "redo": ListedCommand(
            "cli.bundles.history:redo",
            "Do again what was taken back last, or what has that number in the history.",
        ),
        "history": ListedCommand(
            "cli.bundles.history:history",
            "List what was said and done about a bundle, numbered, and whether it still holds.",
        ),
        "square": ListedCommand(
            "cli.corrections.square:square",
            "Put right what a photo got wrong about squares.",
        ),
        "fabric": ListedCommand(
            "cli.corrections.fabric:fabric",
            "Say which squares are of one fabric and which aren't.",
        ),
        "photo": ListedCommand(
            "cli.corrections.photo_removal:photo",
            "Take photos out of a bundle.",
        ),
    },
    "Choose sets and use them up": {
        "rules": ListedCommand(
            "cli.corrections.rules:rules",
            "Show or set how a bundle's sets are chosen from now on.",
        ),
        "reserve": ListedCommand(
            "cli.corrections.project:reserve",
            "Set squares aside for a project; no count uses them then.",
        ),
        "sewn": ListedCommand(
            "cli.corrections.project:sewn",
            "Mark a project's sets as sewn, all or those that the squares are in.",
        ),
        "return": ListedCommand(
            "cli.corrections.project:return_",
            "Give back to the bundle what a project did not use.",
        ),
        "set": ListedCommand(
            "cli.corrections.set:sets",
            "Keep sets together, apart, or swap their squares.",
        ),
    },
    "Look through all bundles": {
        "near": ListedCommand(
            "cli.bundles.near:near",
            "Look through all bundles for squares of a colour, the nearest first.",
        ),
        "partner": ListedCommand(
            "cli.bundles.near:partner",
            "Find the best partners for a square that lacks one, across all bundles.",
        ),
        "fits": ListedCommand(
            "cli.patterns.fits:fits",
            "Tell which patterns a bundle could make, or which bundles make a pattern, and "
            "what is short.",
        ),
    },
    "Keep them safe": {
        "check-up": ListedCommand(
            "cli.bundles.keeping:check_up",
            "Check that the catalogue is whole, and say what to do where it isn't.",
        ),
        "export": ListedCommand(
            "cli.bundles.keeping:export",
            "Write a bundle into one file: its photos, its squares and all that you said and did.",
        ),
        "import": ListedCommand(
            "cli.bundles.keeping:import_",
            "Take in a bundle that was exported, exactly as it was.",
        ),
    },
}
"""By the heading in the help under which they stand."""


class LateCommands(MutableMapping[str, Any]):
    """The commands by name, each imported when it is asked for."""

    def __init__(self) -> None:
        self._where = {
            name: (heading, one)
            for heading, commands in COMMANDS.items()
            for name, one in commands.items()
        }
        self._known: dict[str, Any] = {}

    def __getitem__(self, name: str) -> TyperCommand | Family:
        """Return a command, or a family of commands, ready to be run."""
        if name not in self._known:
            heading, one = self._where[name]
            self._known[name] = imported(name, heading, one)
        found: TyperCommand | Family = self._known[name]
        return found

    def __setitem__(self, name: str, command: TyperCommand | Family) -> None:
        """Take a command in place of the one of this name."""
        self._known[name] = command

    def __delitem__(self, name: str) -> None:
        """Know a command no more."""
        del self._where[name]

    def __iter__(self) -> Iterator[str]:
        """Go through the names, in the order of the help."""
        return iter(self._where)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._where)

    def named(self) -> dict[str, Any]:
        """Return the commands as the help lists them; none of them is imported."""
        return {
            name: TyperCommand(name, help=one.says, rich_help_panel=heading)
            for name, (heading, one) in self._where.items()
        }


def imported(name: str, heading: str, one: ListedCommand) -> TyperCommand | Family:
    """Import a command and make it ready to be run."""
    module, _, called = one.at.partition(":")
    found = getattr(import_module(module), called)
    shelf = typer.Typer()
    if isinstance(found, typer.Typer):
        for registered in found.registered_commands:
            registered.cls = Command
            if registered.callback is not None:
                registered.callback = spread_out(registered.callback)
        shelf.add_typer(found, name=name, cls=Family, rich_help_panel=heading)
    else:
        shelf.command(name, cls=Command, rich_help_panel=heading)(spread_out(found))
        shelf.callback()(lambda: None)
    command: TyperCommand | Family = typer.main.get_group(shelf).commands[name]  # type: ignore[assignment]
    return command
