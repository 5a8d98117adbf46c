"""Every error the tool can tell a person, each with its exit code and a cure."""

from __future__ import annotations

EXIT_ENOUGH = 0
EXIT_FAULT = 1
EXIT_USAGE = 2
EXIT_SHORT = 3
EXIT_NO_SQUARES = 4
EXIT_INTERRUPTED = 130


class CalicountError(Exception):
    """Something a person can put right.

    Parameters
    ----------
    problem : str
        One clause that says what is wrong with what, without a full stop.
    cure : str
        One clause that says what to do, without a full stop.
    """

    exit_code = EXIT_USAGE

    def __init__(self, problem: str, cure: str) -> None:
        self.problem = problem
        self.cure = cure
        super().__init__(f"{problem}; {cure}.")

    def __reduce__(self) -> tuple[type[CalicountError], tuple[str, str]]:
        """Let it pass between processes, which Python's own way with two parts does not."""
        return type(self), (self.problem, self.cure)


class UsageError(CalicountError):
    """The command's words don't fit together."""


class PhotoError(CalicountError):
    """A photo that can't be read whole."""


class PatternError(CalicountError):
    """A pattern file that can't be understood; names the line and the field."""


class LengthError(CalicountError):
    """Text that is no length."""


class ClothError(CalicountError):
    """Cloth that can't give what is asked of it."""


class SetError(CalicountError):
    """Locks, bans and numbers of sets that contradict each other."""


class OutputError(CalicountError):
    """A folder or file that can't be written."""


class WorkerError(CalicountError):
    """A process that looked at photos has gone."""

    exit_code = EXIT_FAULT


class NoSquaresError(CalicountError):
    """The photos show no squares."""

    exit_code = EXIT_NO_SQUARES


class WallError(CalicountError):
    """A plan of the wall that can't be read, or a wall that can't be taken as it hangs."""


class NoWallError(CalicountError):
    """The photos show nothing of the wall that is planned."""

    exit_code = EXIT_NO_SQUARES


class CatalogueError(CalicountError):
    """What was asked of the kept catalogue can't be done."""


class MissingPatternError(CatalogueError):
    """There is no pattern of a number that is kept."""


class StaleError(CatalogueError):
    """The bundle has been changed since the one who asks last saw it."""
