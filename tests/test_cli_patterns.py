import json
from pathlib import Path

import pytest

from catalog.pattern.patterns import load_pattern, shipped_patterns


def test_every_shipped_pattern_is_listed(calicount):
    result = calicount("patterns")
    assert result.exit_code == 0
    for name, title, _ in shipped_patterns():
        assert name in result.stdout
        assert title in result.stdout


@pytest.mark.parametrize("name", [name for name, _, _ in shipped_patterns()])
def test_a_pattern_as_shown_is_a_pattern_file(calicount, name):
    result = calicount("patterns", "--show", name)
    assert result.exit_code == 0
    assert result.stderr == ""
    Path("my quilt.toml").write_text(result.stdout, encoding="utf-8")
    assert load_pattern("my quilt.toml").needs == load_pattern(name).needs


def test_patterns_as_json(calicount):
    listed = json.loads(calicount("patterns", "--json").stdout)["patterns"]
    assert [(one["name"], one["title"]) for one in listed] == [
        (name, title) for name, title, _ in shipped_patterns()
    ]
    shown = json.loads(calicount("patterns", "--show", "pinwheel", "--json").stdout)
    assert shown["text"] == calicount("patterns", "--show", "pinwheel").stdout.rstrip("\n")


def test_a_pattern_that_there_is_not(calicount):
    result = calicount("patterns", "--show", "hourglas")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "hourglass" in result.stderr
