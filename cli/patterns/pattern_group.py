"""The commands of ``calicount pattern``."""

from __future__ import annotations

import typer

from cli.patterns.pattern_blocks import blocks
from cli.patterns.pattern_read import read

pattern = typer.Typer(no_args_is_help=True, help="Read a pattern as you have it, or start one.")
pattern.command("read")(read)
pattern.command("blocks")(blocks)
