import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import history
from process_costs import run_process

LAST = {"count": 8.0, "help": 1.0}
ENTRY = {"commit": "abc1234", "date": "2026-11-30", "machine": "this", "count": "8", "help": "1"}


def tried(*tries, growth=1.25):
    """Return what is still too large after tries that measured so, and what each was asked."""
    asked, left = [], list(tries)

    def measure(names):
        asked.append(list(names))
        return left.pop(0)

    return history.still_grown(LAST, growth, measure), asked


def test_a_ratio_may_grow_by_a_quarter():
    quarter, more = {"count": 10.0, "help": 1.25}, {"count": 10.1, "help": 1.0}
    assert tried(quarter)[0] == {}
    assert tried(more, more, more)[0] == {"count": 10.1}
    assert tried(more, growth=2.5)[0] == {}


def test_a_work_that_the_entry_does_not_know_is_not_checked():
    assert tried({**LAST, "new": 99.0}) == ({}, [["count", "help"]])
    assert history.ratios_of({"count": "8.0", "help": "", "commit": "a"}) == {"count": 8.0}


def test_one_quick_try_is_enough_and_only_what_was_slow_is_tried_again():
    slow, quick = {"count": 11.0, "help": 1.0}, {"count": 9.0, "help": 2.0}
    assert tried(slow, slow, quick) == ({}, [["count", "help"], ["count"], ["count"]])


def test_what_is_slow_in_every_try_is_told_in_a_sentence():
    found, asked = tried(*({"count": ratio, "help": 1.0} for ratio in (13.0, 12.0, 14.0)))
    assert found == {"count": 12.0}
    assert len(asked) == history.TRIES
    (said,) = history.sentences(ENTRY, found)
    assert said.startswith("count grew from 8 to 12 (processor seconds of a whole count to those")
    assert "since abc1234 of 2026-11-30" in said


def test_machines_are_compared_with_their_like():
    other = {**ENTRY, "machine": "other"}
    assert history.entry_to_beat([other, ENTRY, other], "this") == (ENTRY, history.MAX_GROWTH)
    elsewhere = (other, history.MAX_GROWTH_ELSEWHERE)
    assert history.entry_to_beat([ENTRY, other], "a third") == elsewhere


def test_the_history_can_be_read_and_its_last_line_says_all_that_is_checked():
    entries = history.read_entries()
    assert list(entries[-1]) == list(history.COLUMNS)
    assert history.ratios_of(entries[-1]).keys() == set(history.RATIOS)
    assert all(re.fullmatch(r"[0-9a-f]{7,}", entry["commit"]) for entry in entries)


def test_a_process_that_did_not_do_its_work_is_not_measured():
    with pytest.raises(RuntimeError, match="ended with 3"):
        run_process([sys.executable, "-c", "raise SystemExit(3)"])
    cost = run_process([sys.executable, "-c", "raise SystemExit(3)"], ends=(0, 3))
    assert cost.processor_s > 0
    assert 1 < cost.peak_mb < 1000
