"""The tree of modules can be read: no folder is crowded, and no name stands for two things."""

import ast
import re
from collections import Counter, defaultdict
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MODULES = [path for room in ("catalog", "cli") for path in sorted((ROOT / room).rglob("*.py"))]
FOLDERS = sorted({path.parent for path in MODULES})
MAX_MODULES = 15
"""Modules in a folder, ``__init__.py`` aside: as many as are taken in at a glance."""
TRAINING = ROOT / "catalog" / "finding" / "training"
"""Scripts that make the networks again; they run where PyTorch is, and are not installed."""
SHIPPED = [path for path in MODULES if TRAINING not in path.parents]


def name_of(path):
    return str(path.relative_to(ROOT))


@cache
def parsed(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def classes_in(path):
    """Names of the classes that a module defines, those in others apart."""
    return [node.name for node in parsed(path).body if isinstance(node, ast.ClassDef)]


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_a_folder_is_taken_in_at_a_glance(folder):
    modules = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
    assert len(modules) <= MAX_MODULES or folder == TRAINING


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_a_folder_says_what_it_is(folder):
    package = folder / "__init__.py"
    told = package.exists() and ast.get_docstring(parsed(package))
    assert told or (folder / "README.md").exists()


def test_no_module_name_occurs_twice():
    counts = Counter(path.stem for path in SHIPPED if path.name != "__init__.py")
    assert counts
    assert {name for name, times in counts.items() if times > 1} == set()


def test_no_class_name_occurs_twice():
    places = defaultdict(list)
    for path in SHIPPED:
        for name in classes_in(path):
            places[name].append(name_of(path))
    assert places
    assert {name: where for name, where in places.items() if len(where) > 1} == {}


DROPPED = {
    "deed",
    "deeds",
    "eye",
    "hem",
    "kept",
    "looking",
    "wish",
    "wishes",
    "shop",
    "parcel",
    "course",
    "seal",
    "witness",
}
"""Coined words that gave way to those of the glossary in DEVELOPERS.md."""


def words_of(name):
    return {word.lower() for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])", name)}


def test_modules_and_classes_bear_no_coined_word():
    names = {path.stem for path in SHIPPED} | {n for path in SHIPPED for n in classes_in(path)}
    coined = {name for name in names if words_of(name) & (DROPPED | {"utils", "helpers", "common"})}
    assert coined == set()


def test_limits_are_named_for_what_they_limit():
    vague = set()
    for path in SHIPPED:
        for node in parsed(path).body:
            targets = getattr(node, "targets", [getattr(node, "target", None)])
            names = [one.id for one in targets if isinstance(one, ast.Name)]
            vague.update(name for name in names if re.match(r"_?(LEAST|MOST)(_|$)", name))
    assert vague == set()
