"""Ctrl-C at any instant, from the interpreter's first line of ours to the end of the work."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from waiting import LONG

from cli import interrupts

ROOT = Path(__file__).parents[1]
STOPPED = "calicount: stopped; no file is half-written.\n"
PRESSED = """
import os, signal, sys
class Pressed:
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            sys.meta_path.remove(self)
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Pressed())
sys.argv = ["calicount", *{words!r}]
from cli.start import run
run()
"""
"""Presses Ctrl-C when a module is looked for."""
pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="there a process can't press Ctrl-C for another alone"
)


def ended(code, folder):
    """Run code in a process of its own: its exit code, and what it said."""
    run = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        encoding="utf-8",
        timeout=LONG,
        check=False,
    )
    return run.returncode, run.stdout, run.stderr


@pytest.mark.parametrize(
    "module",
    [
        "cli.interrupts",
        "cli.main",
        "typer",
        "typer.core",
        "cli.cutting.size",
        "cli.cutting.size_words",
    ],
)
def test_ctrl_c_while_it_starts_is_130_without_a_word(module, tmp_path):
    code = PRESSED.format(module=module, words=["size", "half-square-triangle", "--square", "5"])
    assert ended(code, tmp_path) == (130, "", "")


@pytest.mark.parametrize("module", ["catalog.report.output_files", "numpy"])
def test_ctrl_c_while_it_makes_ready_is_130_without_a_word(module, tmp_path, small_photo):
    code = PRESSED.format(module=module, words=["count", str(small_photo)])
    assert ended(code, tmp_path) == (130, "", "")


@pytest.mark.parametrize("module", ["catalog.pipeline", "scipy.cluster.hierarchy"])
def test_ctrl_c_in_the_work_is_130_and_one_sentence(module, tmp_path, small_photo):
    code = PRESSED.format(module=module, words=["count", str(small_photo)])
    assert ended(code, tmp_path) == (130, "", STOPPED)
    assert not list(tmp_path.glob("*/*"))


WORK = """
import os, signal, sys, time
from cli import interrupts

def press():
    os.kill(os.getpid(), signal.SIGINT)

class Lost:
    def __del__(self):
        press()

def swallowed():
    try:
        press()
    except BaseException:
        pass

def twice(wait=0):
    try:
        press()
    finally:
        time.sleep(wait)
        press()

interrupts.heed()
try:
    with interrupts.Raised():
        {work}
except KeyboardInterrupt:
    print("raised")
"""


@pytest.mark.parametrize(
    "work",
    [
        "press(); time.sleep(60)",
        "Lost(); time.sleep(60)",
        "swallowed()",
        "twice()",
    ],
    ids=["plainly", "lost in a callback", "swallowed", "twice in a moment"],
)
def test_ctrl_c_in_the_work_is_raised_in_it(work, tmp_path):
    assert ended(WORK.format(work=work), tmp_path) == (0, "raised\n", "")


def test_ctrl_c_again_ends_work_that_does_not_tidy_up_in_time(tmp_path):
    code = WORK.format(work=f"twice({interrupts.PATIENCE + 0.1})")
    assert ended(code, tmp_path) == (130, "", "")


def test_ctrl_c_after_the_work_is_130_without_a_word(tmp_path):
    assert ended(WORK.format(work="pass") + "press()", tmp_path) == (130, "", "")


def test_a_callback_that_fails_otherwise_is_still_told(tmp_path):
    failing = WORK.replace("os.kill(os.getpid(), signal.SIGINT)", "raise ValueError('told')")
    code, out, said = ended(failing.format(work="Lost()"), tmp_path)
    assert (code, out) == (0, "")
    assert "told" in said


def test_whoever_starts_it_deaf_to_ctrl_c_finds_it_deaf(tmp_path):
    code = "import signal\nsignal.signal(signal.SIGINT, signal.SIG_IGN)" + PRESSED
    code = code.format(module="typer", words=["patterns"])
    assert ended(code, tmp_path)[0] == 0


def test_an_error_that_an_interruption_became_is_an_interruption(calicount, monkeypatch):
    monkeypatch.setattr(interrupts, "asked", lambda: True)
    told = calicount("count", "no such photo.jpg")
    assert (told.exit_code, told.stdout, told.stderr) == (130, "", "")


@pytest.mark.slow
def test_ctrl_c_at_any_instant_is_130(tmp_path):
    words = [
        sys.executable,
        "-c",
        "print(flush=True)\nfrom cli.start import run\nrun()",
        "patterns",
    ]
    settings = {"cwd": tmp_path, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    settings["env"] = {**os.environ, "PYTHONPATH": str(ROOT)}
    chance, lasted = random.Random(26), None
    for _ in range(150):
        with subprocess.Popen(words, **settings) as run:
            run.stdout.readline()  # the interpreter has started
            began = time.monotonic()
            if lasted is not None:
                time.sleep(chance.uniform(0, lasted))
            pressed = lasted is not None and run.poll() is None
            if pressed:
                run.send_signal(signal.SIGINT)
            _, said = run.communicate(timeout=LONG)
            lasted = lasted or time.monotonic() - began
        assert run.returncode in ({130, 0} if pressed else {0})  # 0: it ended at that instant
        assert said.decode() in {"", STOPPED}
