"""``calicount pattern``: a pattern read as you have it, started from a block, and kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

import typer

from cli.patterns.own_pattern import copy, export_file, keep, remove, rename, show
from cli.patterns.own_pattern_history import history, redo, undo
from cli.patterns.pattern_blocks import blocks
from cli.patterns.pattern_drawing import drawing
from cli.patterns.pattern_read import read

pattern = typer.Typer(
    no_args_is_help=True, help="Read a pattern as you have it, start one, and keep it."
)
COMMANDS: Final[Mapping[str, Callable[..., None]]] = {
    "read": read,
    "blocks": blocks,
    "drawing": drawing,
    "keep": keep,
    "show": show,
    "copy": copy,
    "rename": rename,
    "remove": remove,
    "export": export_file,
    "history": history,
    "undo": undo,
    "redo": redo,
}
for name, command in COMMANDS.items():
    pattern.command(name)(command)
