"""The page's own files: each as it lies there, and as one with all that it imports."""

from __future__ import annotations

import json
import re
from posixpath import dirname, join, normpath

import pytest

from cli.page.assets import static_files
from cli.page.assets.joined_file import IMPORT, joined_script, joined_sheet
from cli.page.assets.static_files import FOLDER, INDEX, PageFiles, StaticFiles
from cli.page.routes.http_answers import NotThereError, PageRequest

SCRIPTS = {
    path.relative_to(FOLDER).as_posix(): path.read_text("utf-8") for path in FOLDER.rglob("*.js")
}
DIGEST = re.compile(r'"/static/([0-9a-f]{32})/([^"]+)"')


def test_the_pages_files_are_those_of_its_folder_and_nothing_else(tmp_path, monkeypatch):
    folder = tmp_path / "static"
    (folder / "parts").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html><title>squares</title>", encoding="utf-8")
    (folder / "parts" / "one.js").write_text("export const one = 1;", encoding="utf-8")
    (folder / "notes.txt").write_text("not for the page", encoding="utf-8")
    (tmp_path / "secret.js").write_text("x", encoding="utf-8")
    monkeypatch.setattr(static_files, "FOLDER", folder)
    files = StaticFiles()
    index = files.index(PageRequest({}, {}))
    assert index.media_type == "text/html"
    script = files.file(PageRequest({"name": "parts/one.js"}, {}))
    assert (script.media_type, script.status_code) == ("text/javascript", 200)
    mark = script.headers["etag"]
    again = files.file(PageRequest({"name": "parts/one.js"}, {}, known=mark))
    assert (again.status_code, again.body) == (304, b"")
    for name in ("notes.txt", "../secret.js", "parts/../../secret.js", "", "parts"):
        with pytest.raises(NotThereError):
            files.file(PageRequest({"name": name}, {}))


def test_the_page_that_is_installed_has_its_files():
    assert INDEX in StaticFiles()._files.contents


def one_of(files, name):
    return files.file(PageRequest({"name": name}, {}))


def test_a_page_names_its_files_below_the_digest_of_all_and_they_stay_for_ever():
    files = StaticFiles()
    named = DIGEST.findall(files.index(PageRequest({}, {})).body.decode())
    assert {name for _, name in named} == {"mark.svg", "index.css", "frame/main.js"}
    for digest, name in named:
        answer = one_of(files, f"{digest}/{name}")
        assert "immutable" in answer.headers["cache-control"]
        assert "no-cache" in one_of(files, name).headers["cache-control"]
        for other in (f"{'0' * 32}/{name}", f"{digest}/{digest}/{name}", f"{digest}/../{name}"):
            with pytest.raises(NotThereError):
                one_of(files, other)


def test_what_is_installed_meanwhile_is_another_page_and_no_mix(tmp_path, monkeypatch):
    (tmp_path / "index.html").write_text('<script src="/static/one.js"></script>')
    (tmp_path / "one.js").write_text('import { two } from "./two.js";\n')
    (tmp_path / "two.js").write_text("export const two = 2;\n")
    monkeypatch.setattr(static_files, "FOLDER", tmp_path)
    before = StaticFiles()
    (tmp_path / "two.js").write_text("export const two = 3;\n")
    ((digest, _),) = DIGEST.findall(before.index(PageRequest({}, {})).body.decode())
    for name in (f"{digest}/one.js", "two.js"):
        assert b"two = 2" in one_of(before, name).body
    after = PageFiles(tmp_path)
    assert after.digest != digest
    assert b"two = 3" in after.joined("one.js")


@pytest.mark.parametrize("name", sorted(SCRIPTS))
def test_every_module_stands_in_one_script_after_what_it_imports(name):
    lines = joined_script(name, SCRIPTS).text.split("\n")
    begun = [line.removeprefix("{ // ") for line in lines if line.startswith("{ // ")]
    assert len(set(begun)) == len(begun)
    assert begun[-1] == name
    for at, one in enumerate(begun):
        for found in IMPORT.finditer(SCRIPTS[one]):
            assert normpath(join(dirname(one), found["path"])) in begun[:at]


def test_each_line_is_found_again_where_it_was_written():
    joined = joined_script("frame/main.js", SCRIPTS)
    lines, found = joined.text.split("\n"), 0
    told = json.loads(joined.source_map)
    for section in told["sections"]:
        (source,) = section["map"]["sources"]
        first = section["offset"]["line"]
        rows = SCRIPTS[source.removeprefix("/static/")].split("\n")
        assert section["map"]["mappings"] == ";".join(["AAAA", *["AACA"] * (len(rows) - 1)])
        for row, line in zip(rows, lines[first:], strict=False):
            same = row.replace("export ", " " * 7, 1) if row.startswith("export ") else row
            assert line == same or row.startswith("import ")
            found += line == same
    assert found > 5000
    assert lines[-2] == "//# sourceMappingURL=main.js.map"


@pytest.mark.parametrize(
    "text",
    [
        'import two from "./two.js";\n',
        'import "./two.js";\n',
        'import {\n  two,\n} from "./two.js";\n',
        "export default 1;\n",
        "export let one = 1;\n",
        'export { two } from "./two.js";\n',
        'import { one } from "./one.js";\n',
    ],
)
def test_what_could_not_be_put_together_rightly_is_refused(text):
    with pytest.raises(ValueError, match=r"one another in a circle|put together"):
        joined_script("one.js", {"one.js": text, "two.js": "export const two = 2;\n"})


def test_sheets_stand_in_the_order_in_which_they_hold():
    texts = {"index.css": '@import "./a/one.css";\np {}\n', "a/one.css": "a {}\n"}
    told = joined_sheet("index.css", texts).text
    assert [line for line in told.split("\n") if line.endswith("{}")] == ["a {}", "p {}"]
    with pytest.raises(ValueError, match="put together"):
        joined_sheet("one.css", {"one.css": "@import url(two.css);\n"})
