"""Values to the text and bytes that the catalogue holds, and back."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from typing import Any, Final, get_args

import numpy as np

from catalog.catalogue.records import corners_of
from catalog.models import Light, LightQuestion, Square

_NUMBERS = (
    "unevenness",
    "expected_error",
    "contrast",
    "saturation",
    "power",
    "tint_doubt",
    "level_doubt",
)

_QUESTIONS: Final[dict[str, LightQuestion]] = {one: one for one in get_args(LightQuestion)}


def square_text(square: Square) -> str:
    """Write a square as JSON.

    What was added since the first catalogues is written only where it says something, so that the
    squares of old ones are written as they were and are found as they were left.
    """
    added = {"absolute": square.absolute, "said_in": square.said_in}
    silent = {name for name, value in added.items() if not value}
    return json.dumps({name: value for name, value in vars(square).items() if name not in silent})


def square_of(text: str) -> Square:
    """Read a square from JSON."""
    read = json.loads(text)
    return Square(**{**read, "corners": corners_of(read["corners"]), "flags": tuple(read["flags"])})


def light_bytes(light: Light) -> bytes:
    """Write a light as an NPZ file."""
    arrays: dict[str, Any] = {"tint": light.tint, "field": light.field}
    if light.mixing is not None:
        arrays["mixing"] = light.mixing
    if light.question is not None:
        arrays["question"] = np.frombuffer(light.question.encode(), np.uint8)
    numbers = np.array([getattr(light, name) for name in _NUMBERS], np.float64)
    words = np.frombuffer(light.evidence.encode(), np.uint8)
    out = io.BytesIO()
    np.savez_compressed(out, numbers=numbers, words=words, **arrays)
    return out.getvalue()


def light_of(content: bytes) -> Light:
    """Read a light from an NPZ file; nothing in it is ever run.

    Raises
    ------
    ValueError
        It is none.
    """
    try:
        light = _light_of(content)
    except MemoryError:
        raise
    except Exception as error:  # a broken archive raises whatever its reader stumbled over
        raise ValueError("expected a light as an NPZ file") from error
    if not _fits(light):
        raise ValueError("expected a light's numbers in their shapes")
    return light


def _light_of(content: bytes) -> Light:
    with np.load(io.BytesIO(content), allow_pickle=False) as read:
        numbers = {name: float(v) for name, v in zip(_NUMBERS, read["numbers"], strict=True)}
        return Light(
            tint=read["tint"],
            field=read["field"],
            evidence=read["words"].tobytes().decode(),
            mixing=read.get("mixing"),
            question=_question_in(read),
            **numbers,
        )


def question_of(content: bytes) -> LightQuestion | None:
    """Read what a light leaves to be asked; None too where it is broken, which reading it tells."""
    try:
        with np.load(io.BytesIO(content), allow_pickle=False) as read:
            return _question_in(read)
    except MemoryError:
        raise
    except Exception:
        return None


def _question_in(read: Mapping[str, np.ndarray[Any, Any]]) -> LightQuestion | None:
    """Return a question that is known; those of a newer calicount are passed over."""
    asked = read.get("question")
    return None if asked is None else _QUESTIONS.get(asked.tobytes().decode(errors="replace"))


def _fits(light: Light) -> bool:
    """Whether a light's arrays have their shapes, and hold numbers that colours can be made of."""
    arrays: list[np.ndarray[Any, np.dtype[Any]]] = [light.tint, light.field]
    arrays += [] if light.mixing is None else [light.mixing]
    return (
        all(one.dtype.kind == "f" and np.isfinite(one).all() for one in arrays)
        and light.tint.shape == (3,)
        and light.field.ndim == 3
        and light.field.shape[2] == 3
        and light.field.size > 0
        and (light.mixing is None or light.mixing.shape == (3, 8))
        and bool((light.tint > 0).all() and (light.field > 0).all())
    )


def signature_of(content: bytes) -> np.ndarray[Any, np.dtype[np.float32]]:
    """Read a print's signature."""
    return np.frombuffer(content, np.float32)
