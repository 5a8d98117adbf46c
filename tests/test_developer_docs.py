"""What the documents for developers name is there, and they stay short."""

import re
import runpy
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAX_WORDS, MAX_TERMS = 1200, 40
ROOMS = [path for room in ("catalog", "cli") for path in sorted((ROOT / room).rglob("README.md"))]
DOCUMENTS = [ROOT / "DEVELOPERS.md", *ROOMS]
BENCH = ROOT / "tests" / "bench"
TRAINING = ROOT / "catalog" / "finding" / "training"
KINDS = "py|md|js|css|html|toml|csv|sql|txt|onnx|pt|j2"
NAMED = re.compile(
    rf"(?<![\w./{{<-])((?:\.?[\w-]+/)*(?:[\w-]+\.(?:{KINDS})\b|\.ci/run\b|(?<=/)(?![\w.])))"
)
"""A file by its name or path, or a folder, which ends in a slash."""
MADE_ELSEWHERE = re.compile(
    r"^(out|photos|PACKAGES|env|(detector|opt)\.pt|(whole|detector|boundary)\.onnx|bundle\.json)"
)
"""What a run of the training writes, in the folder where it runs."""


def terms():
    """The glossary's terms in their order."""
    part = DEVELOPERS.split("\n## Glossary\n")[1].split("\n## ")[0]
    return re.findall(r"^- \*\*(.+?)\*\*", part, re.MULTILINE)


def named_in(document):
    """Files and folders that a document names, each once."""
    text = document.read_text(encoding="utf-8")
    spans = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.M))
    blocks = re.findall(r"^```[^\n]*\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    found = [name for part in (*spans, *blocks) for name in NAMED.findall(part)]
    return list(dict.fromkeys(name for name in found if name))


def is_there(name, document):
    """Whether a name is one of the tree's: from its root, the library, the document's folder."""
    room = document.parent
    if any((place / name).exists() for place in (ROOT, ROOT / "catalog", BENCH, room)):
        return True
    return room != ROOT and "/" not in name and any(room.rglob(name))


def test_the_way_in_is_short():
    assert len(DEVELOPERS.split()) <= MAX_WORDS


def test_the_glossary_is_short_and_says_each_term_once():
    assert 20 <= len(terms()) <= MAX_TERMS
    assert len(set(terms())) == len(terms())


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_all_that_is_named_is_there(document):
    names = [name for name in named_in(document) if not MADE_ELSEWHERE.match(name)]
    assert names
    assert [name for name in names if not is_there(name, document)] == []


def test_every_room_is_in_the_routing_table():
    rooms = {path.parent.name for path in (ROOT / "catalog").glob("*/__init__.py")} - {"system"}
    told = set(re.findall(r"`catalog/(\w+)/`", DEVELOPERS.split("\n## Run and measure\n")[0]))
    assert rooms - told == set()


@pytest.mark.parametrize("document", ROOMS, ids=lambda path: str(path.parent.relative_to(ROOT)))
def test_every_table_of_figures_names_the_script_that_prints_it(document):
    if TRAINING in document.parents:
        pytest.skip("the networks' figures come of training runs, told there")
    text = document.read_text(encoding="utf-8")
    for table in re.finditer(r"(?:^\|.*\n)+", text, re.MULTILINE):
        if not re.search(r"\d", table[0]):
            continue
        section = text[: table.start()].rsplit("\n## ", 1)[-1]
        scripts = re.findall(r"tests/bench/(\w+\.py)", section)
        assert scripts, f"no script is named before\n{table[0]}"
        assert all((BENCH / script).exists() for script in scripts)


CODE = "\n".join(
    path.read_text(encoding="utf-8")
    for room in ("catalog", "cli")
    for kind in ("*.py", "*.js")
    for path in sorted((ROOT / room).rglob(kind))
)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_constants_that_are_named_stand_in_the_code(document):
    if TRAINING in document.parents:
        pytest.skip("PyTorch's names stand there too")
    text = document.read_text(encoding="utf-8")
    names = set(re.findall(r"`([A-Z][A-Z_]+)`", text))
    assert {name for name in names if not re.search(rf"\b{name}\b", CODE)} == set()


SCRIPTS = [
    path
    for path in sorted(BENCH.glob("*.py"))
    if '__name__ == "__main__"' in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: path.stem)
def test_a_script_that_prints_tables_runs_on_the_code_as_it_is(script, monkeypatch):
    monkeypatch.setattr(sys, "path", [str(BENCH), *sys.path])
    module = runpy.run_path(str(script))
    assert f"python tests/bench/{script.name}" in module["__doc__"]
    assert callable(module["main"])
