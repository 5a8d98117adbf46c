"""Gather photographs without squares of cloth, and close-ups of cloth, into one folder to carry.

photographs.py OUT CLOTH FOLDER...

CLOTH holds close-ups of cloth; every FOLDER is searched for pictures. Pictures that could hold
squares, and those kept for judging, are left out by name.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

import cv2
import numpy as np

SIZE = 1024, 768
"""Width and height that pictures are cut and scaled to, px."""

LEAST = 300
"""Smaller pictures are passed over, px."""

KEPT_FOR_JUDGING = r"astronaut|coffee|motorcycle|china"
HOLDS_SQUARES = (
    r"chess|board|calib|charuco|aruco|diamond|marker|sudoku|chcorners|charoriginal|^ch[a-z]+\.|"
    r"^gb[a-z]+\.|homography|pattern|pose_|checker|digits|hash|left\d|right\d|undistort|fisheye|"
    r"disparity|cards|trimap|GT|phantom|horse|logo|multipage|screenshot|stereo_|gradient|"
    r"superpixel|period|boxes"
)


def pictures(folders: list[Path]) -> list[Path]:
    """List the pictures that may be shown as having no squares of cloth in them."""
    found = {}
    for path in sorted(p for folder in folders for p in folder.rglob("*")):
        if path.suffix.lower() not in (".jpg", ".jpeg", ".png"):
            continue
        if re.search(f"{KEPT_FOR_JUDGING}|{HOLDS_SQUARES}", path.name, re.IGNORECASE):
            continue
        key = path.parts[-4] if path.parent.name.startswith("images") else path.name
        found[key] = path
    return list(found.values())


def framed(image: np.ndarray) -> np.ndarray | None:
    """Cut the middle of an image (h, w, 3) to the common shape; None where it is too small."""
    height, width = image.shape[:2]
    if min(height, width) < LEAST or max(height, width) > 3 * min(height, width):
        return None
    if np.abs(np.diff(image[::4, ::4].astype(int), axis=1)).mean() < 1.5:  # nothing to see
        return None
    if height > width:
        image = np.rot90(image)
    scale = max(SIZE[0] / image.shape[1], SIZE[1] / image.shape[0])
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    image = cv2.resize(image, None, fx=scale, fy=scale, interpolation=how)
    y, x = (image.shape[0] - SIZE[1]) // 2, (image.shape[1] - SIZE[0]) // 2
    return image[y : y + SIZE[1], x : x + SIZE[0]]


def main() -> None:
    """Write OUT/photo_NNN.jpg and OUT/cloth_N.jpg."""
    out, cloth, *folders = (Path(word) for word in sys.argv[1:])
    out.mkdir(parents=True, exist_ok=True)
    count, names = 0, []
    for path in pictures(folders):
        image = cv2.imread(str(path), cv2.IMREAD_COLOR)
        image = framed(image) if image is not None else None
        if image is not None:
            cv2.imwrite(str(out / f"photo_{count:03d}.jpg"), image, [cv2.IMWRITE_JPEG_QUALITY, 85])
            names.append(f"{count:03d} {path}")
            count += 1
    for number, path in enumerate(sorted(cloth.glob("*.jpg"))):
        image = cv2.imread(str(path), cv2.IMREAD_COLOR)
        side = min(image.shape[:2])
        image = cv2.resize(image[:side, :side], (1024, 1024), interpolation=cv2.INTER_AREA)
        cv2.imwrite(str(out / f"cloth_{number}.jpg"), image, [cv2.IMWRITE_JPEG_QUALITY, 90])
    (out / "names.txt").write_text("\n".join(names), encoding="utf-8")


if __name__ == "__main__":
    main()
