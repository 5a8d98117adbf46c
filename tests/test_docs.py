"""README, help and what the tool does agree."""

import csv
import inspect
import re
import shlex
import textwrap
from pathlib import Path
from typing import get_args

import pytest
import typer
from typer.testing import CliRunner

from catalog import errors
from catalog.cutting.plans import Arrangement, WallPlan
from catalog.models import SquareSet, Tally, WallCheck
from catalog.report.tables.check_csv import check_csv, units_csv
from catalog.report.tables.csv_tables import sets_csv, swatches_csv, tally_csv
from catalog.report.tables.plan_csv import buying_csv, cutting_csv, wall_csv
from cli.main import app

GROUP = typer.main.get_command(app)


def leaves(group, before=()):
    """Yield the commands with the words that call them, those in groups too."""
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from leaves(command, (*before, name))
        else:
            yield " ".join((*before, name)), command


COMMANDS = dict(leaves(GROUP))
ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
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
    context, command, name, rest = None, GROUP, "calicount", list(words)
    while True:
        context = command.make_context(name, list(rest), parent=context)
        if not hasattr(command, "commands"):
            return
        name, command, rest = command.resolve_command(context, rest)


def options_of(command):
    return {
        name
        for part in command.params
        for name in (*part.opts, *part.secondary_opts)
        if name.startswith("--")
    }


IN_README = [words for text in (*BLOCKS, *SPANS) for words in commands_in(text)]
IN_HELP = [
    words
    for command in COMMANDS.values()
    for words in commands_in(inspect.cleandoc(command.help or ""))
]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_in_readme(name):
    assert re.search(rf"calicount {name}\b", README)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_is_in_readme(name):
    told = set(re.findall(r"--[a-z][a-z-]*", README))
    assert options_of(COMMANDS[name]) - told == set()


def test_every_option_in_readme_is_one_of_ours():
    told = {name for span in SPANS for name in re.findall(r"^--[a-z][a-z-]*", span)}
    ours = {"--help"}.union(*(options_of(command) for command in COMMANDS.values()))
    assert told
    assert told - ours == set()


def test_there_are_commands_to_check():
    assert len(IN_README) >= len(COMMANDS)
    assert len(IN_HELP) >= 1.2 * len(COMMANDS)


@pytest.mark.parametrize("words", IN_README + IN_HELP, ids=shlex.join)
def test_every_command_that_is_shown_can_be_typed(words):
    if words[-1] == "--help":
        words = [next(iter(GROUP.commands)) if word == "COMMAND" else word for word in words]
        assert CliRunner().invoke(app, words).exit_code == 0
    elif words[0].startswith("-"):  # done at once where it is parsed
        assert words[0] in options_of(GROUP)
    else:
        parse(words)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_shows_examples_in_its_help(name):
    shown = CliRunner().invoke(app, [*name.split(), "--help"], env={"COLUMNS": "100"}).stdout
    examples = commands_in(inspect.cleandoc(COMMANDS[name].help))
    assert examples
    for words in examples:
        assert shlex.join(words).startswith(name)
        assert f"calicount {name}" in shown


@pytest.mark.parametrize(
    ("starts", "text"),
    [
        ("swatch,", swatches_csv([])),
        ("set,", sets_csv([])),
        ("need,", tally_csv(Tally("", (), ()))),
        ("cloth,", cutting_csv([], [])),
        ("for,", buying_csv([])),
        ("sew,", wall_csv(WallPlan("scattered", (), 0.0, None))),
        ("place,state,", check_csv(WallCheck((), False), WallPlan("scattered", (), 0.0, None))),
        ("unit,", units_csv([])),
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


GROUPS = [name for name, one in GROUP.commands.items() if hasattr(one, "commands")]


@pytest.mark.parametrize("columns", [60, 80, 120])
@pytest.mark.parametrize("name", ["", *GROUPS, *COMMANDS])
def test_help_says_what_to_type_and_keeps_to_the_width(name, columns):
    asked = CliRunner().invoke(app, [*name.split(), "--help"], env={"COLUMNS": str(columns)})
    assert asked.exit_code == 0
    shown = asked.stdout.splitlines()
    assert max(map(len, shown)) <= columns
    assert not re.search(r"<(?!key)\w+(\[\w+\])?>", asked.stdout)
    for paragraph in inspect.cleandoc(COMMANDS[name].full_help() if name in COMMANDS else "").split(
        "\n\n"
    ):
        lines = textwrap.wrap(" ".join(paragraph.split()), columns - 2, break_on_hyphens=False)
        assert [f" {line}" for line in lines] == [
            line.rstrip() for line in shown if line.strip() in lines
        ]


@pytest.mark.parametrize("name", ["count", "report"])
def test_choices_are_told_without_breaking_a_word(name):
    shown = CliRunner().invoke(app, [name, "--help"], env={"COLUMNS": "80"}).stdout
    for word in get_args(Arrangement):
        assert word in shown


WITHOUT_CATALOGUE = {
    *("demo", "patterns", "pattern read", "pattern blocks", "pattern drawing", "reference"),
    *("size", "seam", "remake"),
}


@pytest.mark.parametrize("name", sorted(COMMANDS.keys() - WITHOUT_CATALOGUE))
def test_every_command_on_kept_bundles_takes_the_same_options(name):
    wanted = {"--catalogue", "--quiet", "--json"} - ({"--json"} if name == "open" else set())
    assert wanted - options_of(COMMANDS[name]) == set()


def test_every_command_that_prints_can_print_json():
    assert {name for name, one in COMMANDS.items() if "--json" not in options_of(one)} == {"open"}


def test_the_way_to_the_command_is_told_before_it_is_typed():
    before, _ = README.split("```console", maxsplit=1)
    for activation in ("source .venv/bin/activate", r".venv\Scripts\activate"):
        assert activation in before


def test_a_worked_example_comes_before_the_tables_of_options():
    assert README.index("```console") < README.index("| option | what it does |")


def test_tables_have_as_many_cells_in_every_row_as_in_their_head():
    for table in re.findall(r"(?:^\|.*\n)+", README, re.MULTILINE):
        cells = {line.replace(r"\|", "").count("|") for line in table.splitlines()}
        assert table.splitlines()[1].startswith("|---|")
        assert len(cells) == 1


def test_words_of_whoever_measures_are_kept_for_them():
    before, _ = README.split("\n## For whoever measures\n")
    assert not re.search(r"\bF1\b|\bregret\b|\bcorner_in\b", before)


def examples():
    """Return the worked examples: the words typed and the lines told."""
    told = []
    for block in re.findall(r"^```console\n(.*?)^```", README, re.DOTALL | re.MULTILINE):
        for call in block.split("$ calicount ")[1:]:
            typed, *lines = call.splitlines()
            told.append((shlex.split(typed), lines))
    return told


def as_pattern(lines):
    """Return what output must match: ``...`` on a line of its own stands for any lines."""
    parts = [r"(?:.*\n)*" if line == "..." else re.escape(line) + r" *\n" for line in lines]
    return "".join(parts)


@pytest.fixture
def worked(monkeypatch, tmp_path):
    """Type the worked examples one after another, in a folder where the sample photos lie."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    (tmp_path / "sample_photos").symlink_to(ROOT / "sample_photos")
    return [(lines, CliRunner().invoke(app, words)) for words, lines in examples()]


def in_table(start):
    """Return the rows of README's table with that first row, as cells by their column."""
    lines = README[README.index(start) :].split("\n\n")[0].splitlines()
    names, _, *rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return [dict(zip(names, row, strict=True)) for row in rows]


def test_the_worked_example_is_what_the_tool_says(worked):
    assert worked
    for lines, result in worked:
        assert result.exit_code == 0
        assert re.fullmatch(as_pattern(lines), result.stdout), (
            f"README's worked example is out of date; the tool says now:\n{result.stdout}"
        )
    written = list(csv.DictReader(Path("first/cutting.csv").read_text("utf-8").splitlines()))
    shown = in_table("| cloth | piece |")
    assert len(shown) >= 3
    for row in shown:
        cut = [{name: line[name] for name in row} for line in written]
        assert row in cut, f"README's cutting table is out of date; now it is\n{cut}"
