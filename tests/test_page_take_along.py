"""Files that the page gives to take along, and the page's own files."""

from __future__ import annotations

import csv
import io
import zipfile

import pytest

from cli.page.download_contents import FILES
from cli.page.routes.downloads import SANDBOX, attached


def taken(page, name, **query):
    return page.browser.get(f"/api/bundle/{page.bundle()['id']}/files/{name}", params=query)


def test_everything_is_one_archive_with_every_file(shown):
    answer = taken(shown, "everything.zip", pattern="pinwheel")
    assert answer.headers["content-type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        assert archive.namelist() == list(FILES)
        for name in ("cards.pdf", "booklet.pdf"):
            assert archive.read(name).startswith(b"%PDF-")
        assert archive.read("wall.jpg").startswith(b"\xff\xd8\xff")
        report = archive.read("report.html").decode()
        rows = list(csv.DictReader(io.StringIO(archive.read("swatches.csv").decode())))
    assert len(rows) == 24
    assert "<h1" in report
    assert "blues" in report
    assert "<script" not in report


def test_a_file_is_saved_and_never_run(shown):
    answer = taken(shown, "tally.csv")
    assert answer.headers["content-disposition"].startswith('attachment; filename="blues - tally')
    assert answer.headers["content-security-policy"] == SANDBOX
    assert "sandbox" in SANDBOX
    assert "script" not in SANDBOX


def test_what_a_plan_lacks_is_said_and_left_out_of_the_archive(page, monkeypatch):
    view = page.bundle()
    everything = [one["id"] for one in view["squares"]]
    page.do(view, {"kind": "mark", "squares": everything, "mark": "cut", "on": True})
    answer = taken(page, "cutting.csv", pattern="pinwheel")
    assert answer.status_code == 400
    assert "no cutting.csv" in answer.json()["problem"]
    tables = [name for name in FILES if name.endswith("csv")]
    monkeypatch.setattr("cli.page.download_contents.FILES", tables)
    answer = taken(page, "everything.zip", pattern="pinwheel")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        assert archive.namelist() == ["swatches.csv", "sets.csv", "tally.csv"]


@pytest.mark.parametrize("name", ["passwd", "report.html.exe", "..%2fswatches.csv", "%00"])
def test_there_is_no_other_file(shown, name):
    assert taken(shown, name).status_code == 404


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("../../evil - sets.csv", 'filename="_.._evil - sets.csv"'),
        ('a"; filename="b - sets.csv', 'filename="a_ filename_b - sets.csv"'),
        ("line\r\nSet-Cookie: x - sets.csv", 'filename="line_Set-Cookie_ x - sets.csv"'),
        ("für Ännchen - sets.csv", 'filename="fur Annchen - sets.csv"'),
        ("布 - sets.csv", 'filename="- sets.csv"'),
    ],
)
def test_a_bundles_name_is_made_fit_for_every_system(name, plain):
    told = attached(b"", name).headers["content-disposition"]
    assert plain in told
    assert told.isascii()
    assert "\r" not in told


def test_tables_are_made_without_decoding_the_photos(shown, monkeypatch):
    def decoded(*_):
        raise AssertionError("decoded")

    monkeypatch.setattr("cli.page.routes.picture_routes.PictureRoutes.decoded", decoded)
    for name in ("swatches.csv", "sets.csv", "tally.csv"):
        assert taken(shown, name).status_code == 200
