"""The way in from the shell, so short that hardly an instant is left in which Ctrl-C isn't heeded.

Importing all commands takes a good part of a second; what is pressed in it would end in wherever
that had got to.
"""

import atexit
import gc
import os
import sys

EXIT_INTERRUPTED = 130
"""As `catalog.errors.EXIT_INTERRUPTED`."""
SELDOM = 100_000
"""Objects made and kept between two searches for garbage that refers to itself. A command makes
hardly any and ends soon: at Python's usual 700 to 2,000, searching is a twentieth of its work."""

try:
    from cli import interrupts

    interrupts.heed()
except KeyboardInterrupt:
    os._exit(EXIT_INTERRUPTED)


def run() -> None:
    """Start the command."""
    codes: list[int] = []
    atexit.register(_leave, codes)  # first of all, so that it is called last
    # Linear algebra is held to one thread (see `catalog.system.one_thread`), so none is begun with.
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    gc.set_threshold(SELDOM)
    from catalog.system.light_start import let_wait

    let_wait()
    if sys.argv[1:2] == ["count"]:
        from cli.early_reading import look_early

        look_early(sys.argv[2:])
    from cli.main import app

    try:
        app()
    except SystemExit as end:
        if not isinstance(end.code, str):
            codes.append(end.code or 0)
        raise


def _leave(codes: list[int]) -> None:
    """End the process without the tenths of a second that taking the interpreter to pieces takes.

    In them Ctrl-C isn't heeded any more, and would kill what has done all its work.
    """
    for code in codes:
        code_now = _put_out(code)
        sys.stderr.flush()
        os._exit(code_now)


def _put_out(code: int) -> int:
    """Put out what waits to be, and return the exit code, another where that can't be."""
    from catalog.errors import OutputError

    try:
        sys.stdout.flush()
    except OutputError as error:
        if code != error.exit_code:
            sys.stderr.write(f"calicount: {error}\n")
        return error.exit_code
    return code


if __name__ == "__main__":
    run()
