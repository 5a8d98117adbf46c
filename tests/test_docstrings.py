"""What docstrings say of parameters and results is what the code beside them says."""

import ast
import builtins
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
MODULES = sorted(path for room in ("catalog", "cli") for path in (ROOT / room).rglob("*.py"))
UNDERLINED = re.compile(r"^(\w+)\n-+\n((?:.+\n?|\n(?=[ \w].*\n(?!-)))*)", re.MULTILINE)
"""A section of a numpydoc docstring: its name, its lines."""
ENTRY = re.compile(r"^([\w*]+(?:, [\w*]+)*)(?: : (.*))?$", re.MULTILINE)
"""A parameter's line, or that of several: names, and what they are."""
CLASS = re.compile(r"(?<![\w.\"])[A-Z]\w*[a-z]\w*\b(?!\.)")
"""A class by its name; shapes are in capitals, and those of other libraries behind a dot."""


def documented(tree):
    """Each function and class of a module that has a docstring, with its parameters."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and ast.get_docstring(node):
            made = node
            if isinstance(node, ast.ClassDef):
                made = next((one for one in node.body if getattr(one, "name", "") == "__init__"), 0)
            if isinstance(made, ast.FunctionDef):
                yield node, made


def sections(node):
    """A docstring's sections by their names."""
    return dict(UNDERLINED.findall(ast.get_docstring(node) + "\n"))


def named_in(module):
    """What a module defines or imports."""
    names = set()
    for node in ast.walk(module):
        if isinstance(node, ast.ClassDef | ast.alias):
            names.add((getattr(node, "asname", None) or node.name).split(".")[-1])
        elif isinstance(node, ast.Assign):
            names |= {one.id for one in node.targets if isinstance(one, ast.Name)}
    return names


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_docstrings_tell_parameters_and_classes_that_there_are(path):
    module = ast.parse(path.read_text(encoding="utf-8"))
    known = named_in(module) | set(dir(builtins))
    strange = []
    for node, made in documented(module):
        told, arguments = sections(node), made.args
        own = {one.arg for one in (*arguments.args, *arguments.kwonlyargs, *arguments.posonlyargs)}
        own |= {one.arg for one in (arguments.vararg, arguments.kwarg) if one}
        for names, kind in ENTRY.findall(told.get("Parameters", "")):
            strange += [(node.name, one) for one in re.findall(r"\w+", names) if one not in own]
            strange += [(node.name, one) for one in CLASS.findall(kind) if one not in known]
        for results in ("Returns", "Yields"):
            kinds = [line for line in told.get(results, "").splitlines() if line[:1].strip()]
            strange += [
                (node.name, one) for one in CLASS.findall(" ".join(kinds)) if one not in known
            ]
    assert strange == []
