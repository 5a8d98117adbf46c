"""Values to the text and bytes that the catalogue holds, and back."""

from __future__ import annotations

import io
import json
from typing import Any

import numpy as np

from catalog.kept.models import corners_of
from catalog.models import Light, Square

_NUMBERS = (
    "unevenness",
    "expected_error",
    "contrast",
    "saturation",
    "power",
    "tint_doubt",
    "level_doubt",
)


def square_text(square: Square) -> str:
    """Write a square as JSON."""
    return json.dumps(vars(square))


def square_of(text: str) -> Square:
    """Read a square from JSON."""
    read = json.loads(text)
    return Square(**{**read, "corners": corners_of(read["corners"]), "flags": tuple(read["flags"])})


def light_bytes(light: Light) -> bytes:
    """Write a light as an NPZ file."""
    arrays: dict[str, Any] = {"tint": light.tint, "field": light.field}
    if light.mixing is not None:
        arrays["mixing"] = light.mixing
    numbers = np.array([getattr(light, name) for name in _NUMBERS], np.float64)
    words = np.frombuffer(light.evidence.encode(), np.uint8)
    out = io.BytesIO()
    np.savez_compressed(out, numbers=numbers, words=words, **arrays)
    return out.getvalue()


def light_of(content: bytes) -> Light:
    """Read a light from an NPZ file; nothing in it is ever run."""
    with np.load(io.BytesIO(content), allow_pickle=False) as read:
        numbers = {name: float(v) for name, v in zip(_NUMBERS, read["numbers"], strict=True)}
        return Light(
            tint=read["tint"],
            field=read["field"],
            evidence=read["words"].tobytes().decode(),
            mixing=read.get("mixing"),
            **numbers,
        )


def signature_of(content: bytes) -> np.ndarray[Any, np.dtype[np.float32]]:
    """Read a print's signature."""
    return np.frombuffer(content, np.float32)
