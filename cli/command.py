"""What all commands have in common."""

from __future__ import annotations

from typing import Any

from typer.core import TyperCommand

from cli import interrupts


class Command(TyperCommand):
    """A command that is interrupted with care once it has begun its work."""

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401 - Typer's context moves between versions
        """Do the work."""
        with interrupts.Raised():
            return super().invoke(ctx)
