"""Memory that reading a photo of 50 megapixels takes: at most six bytes a pixel beyond its file.

Run with ``pytest tests/bench/test_bench_photo.py --benchmark-only -n 0 -s``; it prints the bytes a
pixel. Each photo is read in a process of its own, whose libraries are loaded before it is measured.
What doesn't grow with the photo may come on top (`BESIDE`), and the file a second time: OpenCV is
handed a JPEG with other bytes at its end.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from catalog.photo.size_limits import MAX_BYTES_PER_PIXEL

ROOT = Path(__file__).parents[2]
SIZE = (8192, 6144)
BESIDE = 64 << 20
"""Bytes: strips on their way, and what libde265 keeps for the next picture (48 MB of it)."""
READ = """
import sys
from pathlib import Path
import PIL.ImageCms, PIL.PngImagePlugin, PIL.TiffImagePlugin, PIL.JpegImagePlugin
import cv2, pillow_heif
from catalog.photo import read_photo
def held():
    told = dict(line.split(":") for line in Path("/proc/self/status").read_text().splitlines())
    return int(told["VmHWM"].split()[0]) * 1024  # getrusage would begin with what pytest held
before = held()
photo = read_photo(Path(sys.argv[1]))
print(held() - before, *photo.pixels.shape)
"""
TURNED = Image.Exif()
TURNED[0x0112] = 6
KINDS = {
    "plain.jpg": {"quality": 90},
    "turned.jpg": {"quality": 90, "exif": TURNED},
    "progressive.jpg": {"quality": 90, "progressive": True},
    "photo.png": {"compress_level": 1},
    "turned.png": {"compress_level": 1, "exif": TURNED},
    "photo.tif": {},
    "turned.tif": {"exif": TURNED},
    "deflated.tif": {"compression": "tiff_adobe_deflate"},
    "photo.webp": {"quality": 80, "method": 0},
    "photo.heic": {"quality": 60},
}


@pytest.fixture(scope="module")
def picture():
    """A photo's shades and some noise."""
    shades = Image.open(ROOT / "sample_photos" / "bundle_25_photo_a.jpg").resize(SIZE)
    noise = np.random.default_rng(1).integers(0, 4, (*SIZE[::-1], 3), np.uint8)
    return Image.fromarray(np.asarray(shades) // 2 + noise)


@pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in Linux's way")
@pytest.mark.parametrize("name", KINDS)
def test_memory(benchmark, picture, tmp_path, name):
    pillow_heif.register_heif_opener()
    path = tmp_path / name
    picture.save(path, **KINDS[name])
    held = benchmark.pedantic(lambda: read(path), rounds=1)
    pixels, file = SIZE[0] * SIZE[1], path.stat().st_size
    benchmark.extra_info.update(bytes_a_pixel=round((held - file) / pixels, 2))
    print(f"\n{name}: {(held - file) / pixels:.2f} bytes a pixel beyond its file")  # noqa: T201
    assert 3 * pixels <= held <= MAX_BYTES_PER_PIXEL * pixels + 2 * file + BESIDE


def read(path):
    ended = subprocess.run(
        [sys.executable, "-c", READ, path], cwd=ROOT, capture_output=True, check=True, text=True
    )
    held, *shape = map(int, ended.stdout.split())
    assert sorted(shape) == [3, *sorted(SIZE)]
    return held
