"""What Ctrl-C does: before the work it ends the process at once, in the work it is raised.

Nothing that is written in Python is imported here: each further module would be an instant more in
which Ctrl-C ends in a traceback.
"""

import _signal  # type: ignore[import-not-found]  # what `signal` is made of, there at once
import os
import sys

TYPE_CHECKING = False  # as `typing.TYPE_CHECKING`
if TYPE_CHECKING:
    from typing import Any

EXIT_INTERRUPTED = 130
"""As `catalog.errors.EXIT_INTERRUPTED`."""
PATIENCE = 1.0
"""Seconds that the work may take to tidy up; whoever asks again after them is let go at once."""
AGAIN = 0.02
"""Seconds after which an interruption that got lost is raised again."""


class _Work:
    """How far the work is."""

    begun = False
    """Whether more than reading what was typed has begun."""
    asked: "float | None" = None
    """When Ctrl-C was pressed in it and hasn't been answered."""


def end_at_once(*_: object) -> None:
    """End the process without a word: nothing has been begun that would need tidying up."""
    os._exit(EXIT_INTERRUPTED)


def heed() -> None:
    """End at once on Ctrl-C from here on, unless whoever started the process is deaf to it."""
    if _signal.getsignal(_signal.SIGINT) is not _signal.SIG_IGN:
        _signal.signal(_signal.SIGINT, end_at_once)


class Raised:
    """Raise Ctrl-C as KeyboardInterrupt inside, so that the work tidies up behind itself.

    Where the process wasn't started from the shell, and so heeds it otherwise, all stays as it is.
    """

    def __enter__(self) -> None:
        """Begin to make ready for the work."""
        _Work.begun = False
        self.ours = _signal.getsignal(_signal.SIGINT) is end_at_once
        if self.ours:
            self.hook, sys.unraisablehook = sys.unraisablehook, _raise_again
            _signal.signal(_signal.SIGINT, _raise)

    def __exit__(self, kind: object, *_: object) -> None:
        """End the work, and with KeyboardInterrupt where one got lost in it."""
        if not self.ours:
            return
        _signal.signal(_signal.SIGINT, end_at_once)
        sys.unraisablehook = self.hook
        if kind is None and asked():
            raise KeyboardInterrupt


def begin() -> None:
    """Begin the work: from here on whoever interrupts it is told that it is stopped."""
    _Work.begun = True


def begun() -> bool:
    """Whether the work has begun."""
    return _Work.begun


def asked() -> bool:
    """Whether Ctrl-C was pressed in the work, whatever became of it on its way up."""
    return _Work.asked is not None


def answered() -> None:
    """Forget that Ctrl-C was pressed: it is how the work is meant to end."""
    _Work.asked = None


def _raise(*_: object) -> None:
    from time import monotonic

    if _Work.asked is None:
        _Work.asked = monotonic()
        raise KeyboardInterrupt
    if monotonic() - _Work.asked > PATIENCE:
        end_at_once()


def _raise_again(lost: "Any") -> None:  # noqa: ANN401 - its class is known to type checkers only
    """Raise an interruption anew that fell where Python can't hand it on, as in a callback."""
    if not isinstance(lost.exc_value, KeyboardInterrupt):
        sys.__unraisablehook__(lost)
        return
    from threading import Timer

    answered()
    again = Timer(AGAIN, os.kill, (os.getpid(), _signal.SIGINT))
    again.daemon = True
    again.start()
