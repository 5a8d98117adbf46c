"""The tree of modules can be read: no folder is crowded, and no name stands for two things."""

import ast
import re
from collections import Counter, defaultdict
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MODULES = [path for room in ("catalog", "cli") for path in sorted((ROOT / room).rglob("*.py"))]
FOLDERS = sorted({path.parent for path in MODULES})
MAX_MODULES = 15
"""Modules in a folder, ``__init__.py`` aside: as many as are taken in at a glance."""
TRAINING = ROOT / "catalog" / "finding" / "training"
"""Scripts that make the networks again; they run where PyTorch is, and are not installed."""
STILL_TWICE = {"Asked", "Column", "Pairing", "Parcel", "Patch", "Wish", "_Seen"}
"""Class names that stand for two things until they are renamed; none may be added."""
SHIPPED = [path for path in MODULES if TRAINING not in path.parents]


def name_of(path):
    return str(path.relative_to(ROOT))


def classes_in(path):
    """Names of the classes that a module defines, those in others apart."""
    body = ast.parse(path.read_text(encoding="utf-8")).body
    return [node.name for node in body if isinstance(node, ast.ClassDef)]


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_a_folder_is_taken_in_at_a_glance(folder):
    modules = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
    assert len(modules) <= MAX_MODULES or folder == TRAINING


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_a_folder_says_what_it_is(folder):
    package = folder / "__init__.py"
    told = package.exists() and ast.get_docstring(ast.parse(package.read_text(encoding="utf-8")))
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
    twice = {name: where for name, where in places.items() if len(where) > 1}
    assert {name: where for name, where in twice.items() if name not in STILL_TWICE} == {}


def test_no_module_is_called_by_what_it_is_no_room_for():
    vague = re.compile(r"(^|_)(utils?|helpers?|common|misc|shared_code)(_|$)")
    assert [name_of(path) for path in SHIPPED if vague.search(path.stem)] == []
