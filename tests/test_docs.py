"""README, help and what the tool does agree."""

import inspect
import re
import shlex
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from catalog import errors
from catalog.models import SquareSet, Tally
from catalog.plans import WallPlan
from catalog.report.csv_files import sets_csv, swatches_csv, tally_csv
from catalog.report.plan_csv import buying_csv, cutting_csv, wall_csv
from cli.main import app

GROUP = typer.main.get_command(app)
README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
CODES = {value for name, value in vars(errors).items() if name.startswith("EXIT_")}
BLOCKS = re.findall(r"^```[^\n]*\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
SPANS = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", README, flags=re.DOTALL | re.M))


def header(text):
    return text.splitlines()[0]


def commands_in(text):
    """Return the command's calls in text, as words; what a shell does with them cut off."""
    calls = re.findall(r"(?:^|[/\\]|&& |\$ )calicount +([^\n`]*)", text, re.MULTILINE)
    found = []
    for call in calls:
        words = shlex.split(call, comments=True)
        ends = [place for place, word in enumerate(words) if word in {">", "|", "&&", "||", ";"}]
        found.append(words[: min(ends, default=len(words))])
    return found


def parse(words):
    """Run the words through the parser; nothing is done."""
    context = GROUP.make_context("calicount", list(words))
    name, command, rest = GROUP.resolve_command(context, list(words))
    command.make_context(name, rest, parent=context)


def options_of(command):
    return {name for part in command.params for name in part.opts if name.startswith("--")}


IN_README = [words for text in (*BLOCKS, *SPANS) for words in commands_in(text)]
IN_HELP = [
    words
    for command in GROUP.commands.values()
    for words in commands_in(inspect.cleandoc(command.help or ""))
]


@pytest.mark.parametrize("name", GROUP.commands)
def test_every_command_is_in_readme(name):
    assert re.search(rf"calicount {name}\b", README)


@pytest.mark.parametrize("name", GROUP.commands)
def test_every_option_is_in_readme(name):
    told = set(re.findall(r"--[a-z][a-z-]*", README))
    assert options_of(GROUP.commands[name]) - told == set()


def test_every_option_in_readme_is_one_of_ours():
    told = {name for span in SPANS for name in re.findall(r"^--[a-z][a-z-]*", span)}
    ours = {"--help"}.union(*(options_of(command) for command in GROUP.commands.values()))
    assert told
    assert told - ours == set()


def test_there_are_commands_to_check():
    assert len(IN_README) >= len(GROUP.commands)
    assert len(IN_HELP) >= 2 * len(GROUP.commands)


@pytest.mark.parametrize("words", IN_README + IN_HELP, ids=shlex.join)
def test_every_command_that_is_shown_can_be_typed(words):
    if words[-1] == "--help":
        words = [next(iter(GROUP.commands)) if word == "COMMAND" else word for word in words]
        assert CliRunner().invoke(app, words).exit_code == 0
    else:
        parse(words)


@pytest.mark.parametrize("name", GROUP.commands)
def test_every_command_shows_examples_in_its_help(name):
    shown = CliRunner().invoke(app, [name, "--help"], env={"COLUMNS": "100"}).stdout
    for words in commands_in(inspect.cleandoc(GROUP.commands[name].help)):
        assert f"calicount {words[0]}" in shown


@pytest.mark.parametrize(
    ("starts", "text"),
    [
        ("swatch,", swatches_csv([])),
        ("set,", sets_csv([])),
        ("need,", tally_csv(Tally("", (), ()))),
        ("cloth,", cutting_csv([], [])),
        ("for,", buying_csv([])),
        ("sew,", wall_csv(WallPlan("scattered", (), 0.0, None))),
    ],
)
def test_columns_in_readme_are_those_that_are_written(starts, text):
    told = [span for span in (*SPANS, *"".join(BLOCKS).splitlines()) if span.startswith(starts)]
    assert told == [header(text)]


def test_readme_names_the_columns_of_larger_sets():
    four = header(sets_csv([SquareSet(1, ("A", "B", "C", "D"), 1.0, 1.0, "reds", False)]))
    more = set(four.split(",")) - set(header(sets_csv([])).split(","))
    assert more == {"swatch_c", "swatch_d"}
    assert more <= set(SPANS)


def test_exit_codes_in_readme_are_those_of_the_tool():
    _, rest = re.split("exit codes?", README, maxsplit=1, flags=re.IGNORECASE)
    part = rest.split("\n#")[0]
    assert {int(code) for code in re.findall(r"`(\d+)`", part)} == CODES


def test_exit_codes_in_help_are_those_of_the_tool():
    assert {int(code) for code in re.findall(r"\d+", GROUP.epilog)} == CODES
