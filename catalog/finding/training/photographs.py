"""Gather photographs without squares of cloth, and close-ups of cloth, into one folder to carry.

photographs.py PACKAGES CLOTH OUT

PACKAGES is the folder in which the packages named in README.md were unpacked, each in a folder of
its name; the pictures taken are listed in photographs.txt. CLOTH holds close-ups of cloth.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np

SIZE = 1024, 768
"""Width and height that photographs are cut and scaled to, px."""

CLOTH_SIDE = 1024
"""Side of the square that close-ups of cloth are cut and scaled to, px."""


def framed(image: np.ndarray) -> np.ndarray:
    """Cut the middle of an image (h, w, 3) to the common shape, lying."""
    if image.shape[0] > image.shape[1]:
        image = np.rot90(image)
    scale = max(SIZE[0] / image.shape[1], SIZE[1] / image.shape[0])
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    image = cv2.resize(image, None, fx=scale, fy=scale, interpolation=how)
    y, x = (image.shape[0] - SIZE[1]) // 2, (image.shape[1] - SIZE[0]) // 2
    return image[y : y + SIZE[1], x : x + SIZE[0]]


def main() -> None:
    """Write OUT/photo_NNN.jpg and OUT/cloth_N.jpg."""
    packages, cloth, out = (Path(word) for word in sys.argv[1:])
    out.mkdir(parents=True, exist_ok=True)
    listed = (Path(__file__).parent / "photographs.txt").read_text(encoding="utf-8").splitlines()
    quality = [cv2.IMWRITE_JPEG_QUALITY, 88]
    for number, name in enumerate(line for line in listed if not line.startswith("#")):
        image = cv2.imread(str(packages / name), cv2.IMREAD_COLOR)
        cv2.imwrite(str(out / f"photo_{number:03d}.jpg"), framed(image), quality)
    for number, path in enumerate(sorted(cloth.glob("*.jpg"))):
        image = cv2.imread(str(path), cv2.IMREAD_COLOR)
        side = min(image.shape[:2])
        shape = (CLOTH_SIDE, CLOTH_SIDE)
        image = cv2.resize(image[:side, :side], shape, interpolation=cv2.INTER_AREA)
        cv2.imwrite(str(out / f"cloth_{number}.jpg"), image, quality)


if __name__ == "__main__":
    main()
