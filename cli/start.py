"""The way in from the shell, so short that hardly an instant is left in which Ctrl-C isn't heeded.

Importing all commands takes a good part of a second; what is pressed in it would end in wherever
that had got to.
"""

import os

EXIT_INTERRUPTED = 130
"""As `catalog.errors.EXIT_INTERRUPTED`."""

try:
    from cli import interrupts

    interrupts.heed()
except KeyboardInterrupt:
    os._exit(EXIT_INTERRUPTED)


def run() -> None:
    """Start the command."""
    from cli.main import app

    app()


if __name__ == "__main__":
    run()
