"""The table on a network of its own: two namespaces of this machine, real private addresses."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from waiting import LONG

SCRIPT = Path(__file__).with_name("own_network.py")
WAYS = ("unshare", "nsenter", "ip")


def can_make_networks():
    """Whether this machine lets its users make network namespaces."""
    if not all(map(shutil.which, WAYS)):
        return False
    words = ["unshare", "-rn", "ip", "link", "add", "c0", "type", "veth", "peer", "name", "p0"]
    return subprocess.run(words, capture_output=True, check=False).returncode == 0


@pytest.mark.slow
def test_a_phone_of_the_home_comes_to_the_table_over_a_network(kept_file):
    pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
    if not can_make_networks():
        pytest.skip("no network namespaces can be made here")
    words = ["unshare", "-rn", sys.executable, str(SCRIPT), "computer", str(kept_file)]
    ran = subprocess.run(words, capture_output=True, text=True, timeout=LONG, check=False)
    assert ran.returncode == 0, ran.stderr
    told = json.loads(ran.stdout)
    assert told["origin"] == "http://192.168.77.1:7340"
    assert told["code"] == 0
    joined, cut, back = told["phone"]
    # a browser gives a page over plain HTTP no lock on the screen, and that is said
    assert (joined["secure"], joined["lock"], joined["video"]) == (False, False, True)
    assert "may let its screen go dark" in joined["hint"]
    assert joined["said"] == []
    assert joined["first"] is False  # the first door is this machine's alone
    assert joined["beyond"] == 403
    assert cut["line"].startswith("The computer doesn't answer. Go on")
    assert json.loads(cut["ticks"])[0]["on"] is True
    assert cut["cloth"]
    assert back["line"] == ""
    assert json.loads(back["ticks"]) == []
    assert "1 of " in back["head"]
