"""The command: its parts, and errors turned into exit codes in one place."""

from __future__ import annotations

import os
from typing import Annotated, Any

import typer

from catalog.errors import EXIT_FAULT, EXIT_INTERRUPTED, CalicountError
from catalog.phrases import in_one_line
from cli import console, interrupts
from cli.command_class import Family
from cli.command_list import LateCommands


class Group(Family):
    """The commands; whatever goes wrong in one ends in a sentence and an exit code."""

    def __init__(self, **given: Any) -> None:  # noqa: ANN401 - as Typer declares it
        super().__init__(**given)
        self.commands = self.late = LateCommands()

    def list_commands(self, _: Any) -> list[str]:  # noqa: ANN401 - as Typer declares it
        """Return their names; none of them is imported."""
        return list(self.commands)

    def format_help(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401 - as Typer declares it
        """Write the help, for which no command is imported."""
        self.commands = self.late.named()
        super().format_help(ctx, formatter)
        self.commands = self.late

    def main(self, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401 - as Typer declares it
        """Make the console safe before anything is said on it, help included."""
        console.make_safe()
        return super().main(*args, **kwargs)

    def make_context(self, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401 - as Typer declares it
        """Read what was typed before the command's name."""
        try:
            return super().make_context(*args, **kwargs)
        except Exception as error:
            _refuse_mistake(error)
            raise

    def invoke(self, ctx: Any) -> object:  # noqa: ANN401 - Typer's context moves between versions
        """Run the command that was asked for."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt as stop:
            raise _stopped() from stop
        except Exception as error:
            if interrupts.asked():  # some library met it first, and tells it in its own way
                raise _stopped() from error
            _refuse_mistake(error)
            if _passes(error):
                raise
            raise _told(error) from error


def _stopped() -> typer.Exit:
    """Say that the work was interrupted if it had begun, and return how that ends."""
    if interrupts.begun():
        console.complain("stopped; no file is half-written.")
    return typer.Exit(EXIT_INTERRUPTED)


def _told(error: Exception) -> typer.Exit:
    """Say what went wrong, and return how that ends."""
    if isinstance(error, CalicountError):
        console.complain(str(error))
        return typer.Exit(error.exit_code)
    if isinstance(error, MemoryError):
        console.complain("the computer's memory is full; close other programs and try again.")
        return typer.Exit(EXIT_FAULT)
    kind = in_one_line(error).rstrip(":.")
    console.complain(
        f"a fault of calicount itself ({kind}); please report it, with the photo if you can."
    )
    return typer.Exit(EXIT_FAULT)


def _refuse_mistake(error: Exception) -> None:
    """End the command with a sentence where something was typed that can't be understood."""
    from cli.usage_errors import in_a_sentence

    told = in_a_sentence(error)
    if told is not None:
        console.complain(str(told))
        raise typer.Exit(told.exit_code) from error


def _passes(error: Exception) -> bool:
    """Errors that Typer itself turns into words, and all of others when developing."""
    own = type(error).__module__.split(".")[0] in {"click", "typer"}
    told = isinstance(error, CalicountError | MemoryError)
    return own or ("CALICOUNT_DEBUG" in os.environ and not told)


def _tell_version(asked: bool) -> None:
    """Say the version and end."""
    if asked:
        from importlib.metadata import version

        console.say(f"calicount {version('calicount')}")
        raise typer.Exit


app = typer.Typer(
    cls=Group,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Looks at photos of precut squares and tells what you have, what goes with what, "
    "and whether it is enough.",
    epilog="Exit codes: 0 enough, 3 short or hung otherwise, 4 no squares found, 2 wrong input, "
    "1 a fault of calicount, 130 interrupted.",
)


@app.callback()
def _about(
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Say which calicount this is.", callback=_tell_version, is_eager=True
        ),
    ] = False,
) -> None:
    """Nothing of its own: each command does its work."""


def run() -> None:
    """Start the command where that wasn't done by way of `cli.start`."""
    interrupts.heed()
    app()


if __name__ == "__main__":
    run()
