"""PDFs read back as a person sees them: words and pixels of each page (poppler's tools)."""

from __future__ import annotations

import shutil
import subprocess

import numpy as np
import pytest
from PIL import Image

DPI = 40


def words_of(pdf, folder):
    """Return the text of each page of a PDF's bytes."""
    path = _kept(pdf, folder)
    text = _run("pdftotext", "-layout", "-enc", "UTF-8", path, "-").decode("utf-8")
    return text.split("\f")[:-1]


def pictures_of(pdf, folder, dpi=DPI):
    """Return each page of a PDF's bytes as RGB pixels, (height, width, 3), uint8."""
    path = _kept(pdf, folder)
    _run("pdftoppm", "-r", str(dpi), "-png", path, folder / "page")
    pages = []
    for name in sorted(folder.glob("page-*.png")):
        with Image.open(name) as picture:
            pages.append(np.asarray(picture.convert("RGB")))
    return pages


def ink(page):
    """Return the share of a page that isn't white."""
    return float((page.min(axis=2) < 245).mean())


def colour(page):
    """Return the share of a page that is neither white nor grey nor black."""
    spread = page.max(axis=2).astype(int) - page.min(axis=2)
    return float((spread > 30).mean())


def _kept(pdf, folder):
    path = folder / "printed.pdf"
    path.write_bytes(pdf)
    return path


def _run(tool, *words):
    if shutil.which(tool) is None:
        pytest.skip(f"there is no {tool} on this machine (Debian: apt-get install poppler-utils)")
    return subprocess.run([tool, *map(str, words)], check=True, capture_output=True).stdout
