"""All pictures that things are coloured from, in one flat tensor with their halved copies.

A colour is packed into one integer, so that looking one up is one read.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from grounds import REGULAR, laid
from PIL import Image
from prints import cut_from, printed, recoloured
from torch.nn import functional as nnf

PRINT, GROUND, PHOTO = 0, 1, 2
SIDES = (512, 512, 1024)
"""Side of a picture of each kind, px; powers of two."""

LEVELS = 6
"""Each picture, and so many less one halved copies."""

BATCH = 16
"""Pictures made at a time."""

REGULAR_EACH = 4
"""One batch of grounds in so many holds mats, checks and tiles alone."""


def length(side: int) -> int:
    """Texels of one picture with its halved copies."""
    return sum((side >> level) ** 2 for level in range(LEVELS))


def start_of(counts: tuple[int, int, int], kind: int, number: int, level: int) -> int:
    """Where a level of a picture begins in the flat tensor."""
    before = sum(counts[k] * length(SIDES[k]) for k in range(kind))
    inside = sum((SIDES[kind] >> k) ** 2 for k in range(level))
    return before + number * length(SIDES[kind]) + inside


def regular_ground(rng: np.random.Generator, count: int) -> int:
    """Draw the number of a ground, of so many, that shows a mat, checks or tiles."""
    each = REGULAR_EACH * BATCH
    return int(rng.integers(0, -(-count // each)) * each + rng.integers(0, BATCH))


def packed(pictures: torch.Tensor) -> torch.Tensor:
    """Pack RGB 0 to 1 (n, 3, h, w) into int32 (n, h * w)."""
    value = (pictures.clamp(0, 1) * 255 + 0.5).int()
    return (value[:, 0] | value[:, 1] << 8 | value[:, 2] << 16).flatten(1)


def unpacked(value: torch.Tensor) -> torch.Tensor:
    """Turn int32 (...) into RGB 0 to 1, (..., 3)."""
    parts = [value & 255, value >> 8 & 255, value >> 16 & 255]
    return torch.stack(parts, -1).float() / 255


class Atlas:
    """Prints, grounds and photographs on a device.

    Parameters
    ----------
    folder : Path
        Holds photo_*.jpg and cloth_*.jpg, see photographs.py.
    prints, grounds : int
        How many of each are kept at a time; multiples of BATCH.
    """

    def __init__(self, folder: Path, prints: int, grounds: int, device: torch.device) -> None:
        photos = [self.read(path) for path in sorted(folder.glob("photo_*.jpg"))]
        cloth = [self.read(path) for path in sorted(folder.glob("cloth_*.jpg"))]
        self.counts = (prints, grounds, len(photos))
        self.device = device
        self.cloth = torch.stack(cloth).to(device).permute(0, 3, 1, 2).float() / 255
        total = sum(count * length(side) for count, side in zip(self.counts, SIDES, strict=True))
        self.texels = torch.zeros(total, dtype=torch.int32, device=device)
        few = photos[:: max(1, len(photos) // 64)]
        self.some = torch.stack(few).to(device).permute(0, 3, 1, 2).float() / 255
        for number, photo in enumerate(photos):
            self.put(PHOTO, number, photo.to(device).permute(2, 0, 1)[None].float() / 255)
        for number in range(0, prints, BATCH):
            self.new_prints(number)
        for number in range(0, grounds, BATCH):
            self.new_grounds(number)
        self.turn = 0

    @staticmethod
    def read(path: Path) -> torch.Tensor:
        """Read a photograph, pressed to a square, uint8 (side, side, 3)."""
        with Image.open(path) as image:
            pressed = image.convert("RGB").resize((SIDES[PHOTO], SIDES[PHOTO]))
        return torch.from_numpy(np.array(pressed))

    def put(self, kind: int, number: int, pictures: torch.Tensor) -> None:
        """Store pictures (n, 3, side, side) from a number on."""
        levels = [packed(pictures)]
        for _ in range(LEVELS - 1):
            pictures = nnf.avg_pool2d(pictures, 2)
            levels.append(packed(pictures))
        flat = torch.cat(levels, 1)
        begin = start_of(self.counts, kind, number, 0)
        self.texels[begin : begin + flat.numel()] = flat.flatten()

    def new_prints(self, number: int) -> None:
        """Make BATCH prints anew: drawn, cut from real cloth, or from a photograph."""
        side, draw = SIDES[PRINT], torch.rand(1).item()
        if draw < 0.12:
            made = recoloured(cut_from(self.cloth, BATCH, side, (0.15, 0.7)))
        elif draw < 0.17:
            made = cut_from(self.some, BATCH, side, (0.2, 0.6))
        else:
            quarter = BATCH // 4
            made = torch.cat([printed(quarter, side, self.device) for _ in range(4)])
        self.put(PRINT, number, made)

    def new_grounds(self, number: int) -> None:
        """Make BATCH grounds anew."""
        side, quarter = SIDES[GROUND], BATCH // 4
        kinds = REGULAR if number % (REGULAR_EACH * BATCH) == 0 else None
        made = [laid(quarter, side, self.cloth, kinds) for _ in range(4)]
        self.put(GROUND, number, torch.cat(made))

    def refresh(self) -> None:
        """Make a few anew, the oldest first."""
        prints, grounds, _ = self.counts
        self.new_prints(self.turn * BATCH % prints)
        if self.turn % 3 == 0:
            self.new_grounds(self.turn // 3 * BATCH % grounds)
        self.turn += 1
