"""Nothing that a name holds is obeyed by a terminal, whatever command tells it."""

from __future__ import annotations

import json
import re
import unicodedata
from pathlib import Path

import pytest
import typer
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from catalog.catalogue.store import bundle_list
from catalog.pattern.pattern_file import pattern_text
from cli import completion, console
from cli.main import app

HOSTILE = "x\x1b[31m\x9b2J\u202e[bold]y[red]\u2066:smile:\x7f\x85z\u2028"
"""Colours the terminal, clears it, turns the writing round, and tries rich's own marks."""
TAME = "[bold]y[red]"
"""A part of it that is to be printed as it stands."""
LINES = re.compile(r"\n")
ALONE = ("--jobs", "1", HOSTILE)
OWN = f"own {HOSTILE}"
"""A pattern that is kept."""
CALLED = {
    "count": [[HOSTILE], [HOSTILE, "--order", "scattered", "--out", f"out {HOSTILE}"], ["{photo}"]],
    "demo": [["--out", "{file}"]],
    "patterns": [["--show", HOSTILE]],
    "pattern read": [["{file}"], [HOSTILE], ["{words}"]],
    "pattern drawing": [[HOSTILE], ["{photo}"]],
    "pattern blocks": [[HOSTILE], ["shoofly", "--finished", HOSTILE]],
    "pattern keep": [[HOSTILE, "{own}"], [HOSTILE, "{file}"]],
    "pattern show": [[OWN], [HOSTILE]],
    "pattern copy": [[OWN, HOSTILE], [HOSTILE, "x"]],
    "pattern rename": [[OWN, f"another {HOSTILE}"], [HOSTILE, "x"]],
    "pattern remove": [[OWN], [HOSTILE, "--yes"]],
    "pattern export": [[OWN, f"{HOSTILE}.toml"], [HOSTILE, "{file}"]],
    "pattern history": [[OWN], [HOSTILE]],
    "pattern undo": [[OWN], [HOSTILE]],
    "pattern redo": [[OWN], [HOSTILE]],
    "fits": [[HOSTILE], ["--pattern", OWN], ["--pattern", HOSTILE]],
    "size": [[HOSTILE, "--square", "5"], ["flying-geese", "--square", HOSTILE]],
    "seam": [["--sewn", HOSTILE, "--from", "1 1/2", "--pieces", "3"]],
    "reference": [["--out", f"printed {HOSTILE}"], ["--out", "{file}"]],
    "remake": [[HOSTILE], ["{file}"], ["pinwheel", "--shape", HOSTILE]],
    "add": [[*ALONE, "{photo}"], [*ALONE, HOSTILE], ["new", *ALONE, "{photo}", "{file}"]],
    "bundles": [[]],
    "open": [["--no-browser", f"{HOSTILE}, not there"], ["--name", HOSTILE, "{photo}", "x"]],
    "show": [[HOSTILE], [f"{HOSTILE}, not there"]],
    "wall-check": [
        [HOSTILE, "{photo}"],
        [HOSTILE, HOSTILE],
        [HOSTILE, "{photo}", "--plan", "{file}"],
        [HOSTILE, "{photo}", "--project", f"{HOSTILE}?"],
    ],
    "report": [[HOSTILE, "--out", f"report {HOSTILE}"]],
    "rename": [[HOSTILE, f"{HOSTILE} again"], ["no such", HOSTILE]],
    "remove": [[HOSTILE], [HOSTILE, "--yes"]],
    "light": [[HOSTILE], [HOSTILE, "--white", HOSTILE], [HOSTILE, "--white", "R1C1", "--yes"]],
    "undo": [[HOSTILE], [HOSTILE, "1"]],
    "redo": [[HOSTILE]],
    "history": [[HOSTILE], [HOSTILE, "--square", "R1C1"]],
    "rules": [[HOSTILE], [HOSTILE, "--tolerance", "6"]],
    "reserve": [[HOSTILE, f"two {HOSTILE}", "--squares", "R2C1+R2C2"], [HOSTILE, HOSTILE]],
    "sewn": [[HOSTILE, HOSTILE], [HOSTILE, "no such"]],
    "return": [[HOSTILE, HOSTILE], [HOSTILE, f"{HOSTILE}?"]],
    "near": [[HOSTILE], ["grey", "--bundle", HOSTILE], [f"{HOSTILE}:R1C1"]],
    "partner": [[f"{HOSTILE}:R1C1"], [f"{HOSTILE}:{HOSTILE}"]],
    "check-up": [["--copy", f"copy {HOSTILE}.catalogue"]],
    "export": [[HOSTILE, f"{HOSTILE}.zip"], [HOSTILE, "{file}"]],
    "import": [["{file}"], ["{zip}", "--as", f"other {HOSTILE}"]],
    "square isnt": [[HOSTILE, "R1C1"], [HOSTILE, HOSTILE]],
    "square missed": [[HOSTILE, "--place", HOSTILE]],
    "square corners": [[HOSTILE, "R1C1", HOSTILE]],
    "square place": [[HOSTILE, "R1C1", "R9C9"], [HOSTILE, "R1C1", HOSTILE]],
    "square same": [[HOSTILE, "R1C1", "R1C2"], [HOSTILE, "--all"]],
    "square call": [[HOSTILE, "R1C1", f"{HOSTILE} again"]],
    "square for": [[HOSTILE, "feature", "R1C1"], [HOSTILE, HOSTILE, "R1C1"]],
    "square right": [[HOSTILE, "R1C1"], [HOSTILE, HOSTILE]],
    "square doubts": [[HOSTILE], [f"{HOSTILE}?"]],
    "square mark": [[HOSTILE, "damaged", "R1C1"], [HOSTILE, HOSTILE, "R1C1"]],
    "fabric one": [[HOSTILE, "R1C1", "R1C2"]],
    "fabric own": [[HOSTILE, "R1C1"]],
    "photo drop": [[HOSTILE, "1"], [HOSTILE, "7"]],
    "set lock": [[HOSTILE, "R1C1", "R1C2"]],
    "set unlock": [[HOSTILE, "R1C1"]],
    "set forbid": [[HOSTILE, "R1C1", "R1C2"]],
    "set allow": [[HOSTILE, "R1C1", "R1C2"]],
    "set swap": [[HOSTILE, "R1C1", "R1C2"]],
    "set apart": [[HOSTILE, "R1C1"]],
    "set anew": [[HOSTILE], [f"{HOSTILE}?"]],
}
"""Words after each command: what succeeds, and what is refused with the names in the sentence."""


def leaves(group, before=""):
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from leaves(command, f"{before}{name} ")
        else:
            yield f"{before}{name}"


def obeyed(text):
    """Return the signs in text that a terminal may obey, told apart by Unicode's own classes."""
    shown = LINES.sub("", text)
    turning = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    return {
        sign
        for sign in shown
        if unicodedata.category(sign) in {"Cc", "Zl", "Zp", "Cs"}
        or unicodedata.bidirectional(sign) in turning
        or sign in "\u061c\u200e\u200f"
    }


@pytest.fixture
def hostile(kept, monkeypatch, small_photo, tmp_path):
    """A catalogue in which everything that has a name has a hostile one, and files likewise."""
    kept("export", "blues", tmp_path / "sent.zip")
    own = tmp_path / "own.toml"
    text = pattern_text("pinwheel").replace("Pinwheels", TAME)
    own.write_text(text, encoding="utf-8")
    monkeypatch.setattr(bundle_list, "tidy", lambda name: name)
    for words in (
        ["rename", "blues", HOSTILE],
        ["square", "call", HOSTILE, "R1C1", HOSTILE],
        ["reserve", HOSTILE, HOSTILE, "--squares", "R4C1+R4C2"],
        ["pattern", "keep", OWN, str(own)],
    ):
        ended = kept(*words)
        assert ended.exit_code == 0, ended.output
    photo = Path(f"{HOSTILE}.jpg")
    photo.write_bytes(small_photo.read_bytes())
    file = Path(f"a file {HOSTILE}")
    file.write_text(f"title = '{HOSTILE}", encoding="utf-8")
    words = Path("instructions.txt")
    words.write_text(f"From {HOSTILE} cut 4 squares 5 in.\n{HOSTILE}: 2 yards\n", encoding="utf-8")
    places = {"{words}": words, "{photo}": photo, "{file}": file, "{zip}": tmp_path / "sent.zip"}
    places["{own}"] = own

    def run(*words):
        return kept(*(places.get(word, word) for word in words))

    return run


def test_every_command_is_walked():
    assert set(leaves(typer.main.get_command(app))) == CALLED.keys()


@pytest.mark.parametrize("command", CALLED)
def test_no_command_lets_a_name_through_to_the_terminal(command, hostile):
    told = []
    for words in CALLED[command]:
        for more in ([], ["--json"]) if command != "open" else ([],):
            ended = hostile(*command.split(), *words, *more)
            assert "Traceback" not in ended.stderr
            assert "a fault of calicount" not in ended.stderr
            assert obeyed(ended.stdout) == obeyed(ended.stderr) == set()
            if more and ended.stdout:
                json.loads(ended.stdout)
            told.append(ended.output)
    assert any(told)


def test_marks_of_the_printing_library_are_printed_as_they_stand(hostile, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")
    for command in ("bundles", "show", "history"):
        shown = " ".join(
            hostile(command, *([HOSTILE] if command != "bundles" else [])).stdout.split()
        )
        assert TAME in shown
        assert ":smile:" in shown


def test_json_holds_names_as_they_are(hostile):
    told = json.loads(hostile("show", HOSTILE, "--json").stdout)
    assert " ".join(HOSTILE.split()) in {one["name"] for one in told["squares"]}


def test_the_shell_is_offered_no_name_that_a_terminal_obeys(hostile, kept_file):
    hostile("rename", HOSTILE, "tame")
    assert completion.kept_names(kept_file) == ("both halves", "tame")
    hostile("rename", "tame", HOSTILE)
    assert completion.kept_names(kept_file) == ("both halves",)


@given(st.text())
def test_what_is_said_is_never_obeyed(text):
    assert obeyed(console.clean(text)) == set()
    assert len(console.clean(text)) == len(text)


@given(st.text(st.characters(codec=None)), st.sampled_from(["utf-8", "ascii", "cp1252"]))
def test_json_stays_json_in_every_encoding(text, encoding):
    def told():
        console.make_safe()
        console.say_json(json.dumps({"name": text}, ensure_ascii=False, indent=1))

    one = typer.Typer()
    one.command()(told)
    shown = CliRunner(charset=encoding).invoke(one, []).stdout
    assert json.loads(shown) == {"name": text}
    assert obeyed(shown) == set()
