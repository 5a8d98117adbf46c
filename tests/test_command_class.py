"""Groups of options: dataclasses whose fields a command takes as options of its own."""

import inspect
from dataclasses import dataclass
from typing import Annotated

import pytest
import typer
from typer.testing import CliRunner

from catalog.errors import UsageError
from cli.command_class import spread_out


@dataclass(frozen=True)
class Sizes:
    """Two sizes, the second no larger than the first."""

    most: Annotated[int, typer.Option()] = 3
    least: Annotated[int, typer.Option()] = 1

    def __post_init__(self):
        if self.least > self.most:
            raise UsageError("the sizes are the wrong way round", "exchange them")


def command_with(annotation, seen):
    def command(name: str, *, sizes, last: bool = False):
        """Say what came."""
        seen.append((name, sizes, last))

    command.__annotations__["sizes"] = annotation
    return command


@pytest.mark.parametrize(
    ("annotation", "order"),
    [
        (Sizes, ["name", "most", "least", "last"]),
        (Annotated[Sizes, reversed], ["name", "least", "most", "last"]),
    ],
)
def test_a_group_stands_for_its_fields_in_their_order(annotation, order):
    seen = []
    command = spread_out(command_with(annotation, seen))
    assert list(inspect.signature(command).parameters) == order
    app = typer.Typer()
    app.command()(command)
    done = CliRunner().invoke(app, ["blues", "--least", "2"])
    assert done.exit_code == 0, done.output
    assert seen == [("blues", Sizes(most=3, least=2), False)]


def test_a_group_is_made_before_the_command_is_called():
    seen = []
    command = spread_out(command_with(Sizes, seen))
    with pytest.raises(UsageError, match="wrong way round"):
        command(name="blues", most=1, least=2, last=False)
    assert seen == []


def test_a_command_without_groups_is_called_as_it_was():
    seen = []
    command = spread_out(lambda name: seen.append(name.upper()))
    assert list(inspect.signature(command).parameters) == ["name"]
    command(name="blues")
    assert seen == ["BLUES"]
