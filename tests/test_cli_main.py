import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner
from waiting import LONG

from catalog import errors, pipeline
from cli import console
from cli.command_class import in_whole_paragraphs
from cli.command_list import COMMANDS, LateCommands
from cli.main import app

ROOT = Path(__file__).parents[1]


def shell(*words, **settings):
    """Start the command from the shell, in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **settings.pop("environment", {})}
    return subprocess.run(
        [sys.executable, "-m", "cli.start", *words],
        env=environment,
        check=False,
        stdout=settings.pop("stdout", subprocess.PIPE),
        stderr=subprocess.PIPE,
        timeout=LONG,
        **settings,
    )


@pytest.fixture
def failing(calicount, monkeypatch, small_photo):
    """Run the command where looking at the photo ends in an error."""

    def run(error):
        def fail(*_):
            raise error

        monkeypatch.setattr(pipeline, "catalogue", fail)
        return calicount("count", small_photo, "--out", "out")

    return run


@pytest.mark.parametrize(
    "error",
    [
        RuntimeError("on\n  two lines"),
        ValueError(),
        AssertionError("x"),
        RecursionError("deep."),
        OSError(5, "Input/output error"),
    ],
)
def test_a_fault_inside_is_1_and_one_sentence(failing, error):
    result = failing(error)
    assert result.exit_code == errors.EXIT_FAULT == 1
    assert result.stdout == ""
    assert result.stderr.startswith(
        f"calicount: a fault of calicount itself ({type(error).__name__}"
    )
    assert result.stderr.endswith("; please report it, with the photo if you can.\n")
    assert result.stderr.count("\n") == 1
    assert not Path("out").exists()


def test_full_memory_is_1(failing):
    result = failing(MemoryError())
    assert result.exit_code == 1
    assert result.stderr.startswith("calicount: the computer's memory is full; ")


def test_interrupted_is_130(failing):
    result = failing(KeyboardInterrupt())
    assert result.exit_code == errors.EXIT_INTERRUPTED == 130
    assert result.stdout == ""
    assert result.stderr == "calicount: stopped; no file is half-written.\n"
    assert not Path("out").exists()


def test_interrupted_while_writing_leaves_no_half_file(calicount, monkeypatch, small_photo):
    write = Path.write_bytes

    def stop(self, data):
        write(self, data[:10])
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", stop)
    result = calicount("count", small_photo, "--out", "out")
    assert result.exit_code == 130
    assert not Path("out").exists()


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (errors.PhotoError("'x.jpg' is broken", "copy it again"), 2),
        (errors.NoSquaresError("x.jpg: no squares found", "lay them flat"), 4),
    ],
)
def test_what_a_person_can_put_right_says_how(failing, error, code):
    result = failing(error)
    assert result.exit_code == code
    assert result.stderr == f"calicount: {error.problem}; {error.cure}.\n"


def test_nothing_asked_for_is_answered_with_help():
    result = CliRunner().invoke(app, [])
    assert result.exit_code == 2
    for name in ("count", "demo", "patterns"):
        assert name in result.output


@pytest.mark.parametrize(
    "words",
    [["cuont"], ["count"], ["count", "--colour", "x.jpg"], ["count", "x.jpg", "--sets", "x"]],
)
def test_words_that_are_no_command_are_2(words, calicount):
    result = calicount(*words)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.startswith("calicount: ")
    assert result.stderr.endswith(".\n")
    assert result.stderr.count("\n") == 1
    assert "--help" in result.stderr


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252"])
def test_help_in_every_encoding(encoding):
    for words in (["--help"], ["count", "--help"], ["patterns"]):
        result = CliRunner(charset=encoding).invoke(app, words)
        assert result.exit_code == 0, result.output
        assert "?" not in result.stdout


def without_a_reader(*words, **settings):
    """Start the command from the shell with standard output's reader gone."""
    reading, writing = os.pipe()
    os.close(reading)
    try:
        return shell(*words, stdout=writing, **settings)
    finally:
        os.close(writing)


@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--help"], 0),
        (["patterns", "--show", "example"], 0),
        (["size", "half-square-triangle", "--square", "5", "--trim-to", "5"], 3),
        (["size", "half-square-triangle", "--square", "nonsense"], 2),
    ],
)
def test_a_reader_that_goes_away_leaves_the_code_of_the_work(words, code, unbuffered):
    ended = without_a_reader(*words, environment={"PYTHONUNBUFFERED": unbuffered})
    assert ended.returncode == code
    assert ended.stderr.count(b"\n") == (code == 2)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no disk that is always full here")
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_an_answer_that_finds_no_room_is_one_sentence(unbuffered):
    with Path("/dev/full").open("wb") as full:
        ended = shell("patterns", stdout=full, environment={"PYTHONUNBUFFERED": unbuffered})
    assert ended.returncode == 2
    assert ended.stderr.startswith(b"calicount: the answer can't be put out (")
    assert ended.stderr.count(b"\n") == 1


def test_without_a_reader_the_work_is_done_to_its_end(tmp_path, small_photo):
    ended = without_a_reader(
        "count", str(small_photo), "--sets", "20", "--out", "out", cwd=tmp_path
    )
    assert (ended.returncode, ended.stderr) == (3, b"")
    assert (tmp_path / "out" / "sets.csv").read_bytes()


def test_an_old_console_shows_an_error_about_a_file_it_cannot_spell(tmp_path):
    ended = shell(
        "count",
        "Tücher 😀.jpg",
        cwd=tmp_path,
        environment={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "1"},
    )
    assert ended.returncode == 2
    assert ended.stderr.startswith(b"calicount: there is no photo 'T?cher ?.jpg'; ")
    assert ended.stdout == b""


def test_sentences_end_between_words_on_a_terminal(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "50")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    sentence = "  wheel: " + " ".join(["half-square"] * 12)
    console.tell(sentence)
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 2
    assert all(len(line) < 50 and line.startswith("  ") for line in lines)
    assert " ".join(line.strip() for line in lines) == sentence.strip()


def test_sentences_stay_whole_for_a_file(capsys):
    console.tell("word " * 60)
    assert capsys.readouterr().out == "word " * 60 + "\n"


def test_a_bar_shows_how_far_it_is_on_a_terminal_only(monkeypatch, capsys):
    for terminal in (False, True):
        monkeypatch.setattr(sys.stderr, "isatty", lambda answer=terminal: answer, raising=False)
        with console.bar("Looking", 2) as one_more:
            for name in ("left [1].jpg", "right.jpg"):
                one_more(name)
        shown = capsys.readouterr()
        assert shown.out == ""
        assert ("Looking" in shown.err) is terminal
        assert ("2/2" in shown.err) is terminal


@pytest.mark.parametrize("name", list(LateCommands()))
def test_the_list_says_of_a_command_what_its_own_help_says(name):
    listed = {key: one for commands in COMMANDS.values() for key, one in commands.items()}
    assert set(listed) == set(LateCommands())
    first, *_ = in_whole_paragraphs(LateCommands()[name].help).split("\n\n")
    assert listed[name].says == first


@pytest.mark.parametrize("terminal", [True, False])
def test_what_takes_long_at_first_is_said_on_a_terminal_only(monkeypatch, capsys, terminal):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal, raising=False)
    console.mention_work("bringing 9,000 squares up to date")
    said = "Bringing 9,000 squares up to date.\n" if terminal else ""
    assert capsys.readouterr() == ("", said)
