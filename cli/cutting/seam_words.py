"""What a test strip tells of a seam: an answer in, lines or one JSON object out."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from catalog.cutting.adapted.cautions import CAUTIONS
from catalog.lengths import CENTIMETRES_PER_INCH, MILLIMETRE, SIXTEENTH, show_length
from catalog.phrases import count_of
from cli.cutting.size_lengths import shown, with_unit

if TYPE_CHECKING:
    from cli.cutting.seam import SeamAnswer


def answer_text(answer: SeamAnswer) -> list[str]:
    """Return the whole answer."""
    strip, cm = answer.strip, answer.cm
    middle = "what shows of a middle piece"
    if strip.pieces == 2:
        middle = "from the seam to a raw edge"
    rows = [
        ("pieces", f"{strip.pieces} of {with_unit(strip.cut, cm)}, side by side"),
        ("sewn", with_unit(strip.sewn, cm)),
        ("your seam", exactly(strip.seam, cm)),
        ("measure too", f"{with_unit(strip.middle, cm)}: {middle}"),
    ]
    widest = max(len(label) for label, _ in rows)
    return [
        "The seam that you really sew",
        "",
        *(f"  {label:<{widest}}  {text}" for label, text in rows),
        "",
        *notes(answer),
        "",
        "Before you sew:",
        *(f"  {line}" for line in CAUTIONS),
    ]


def notes(answer: SeamAnswer) -> list[str]:
    """Return what it means and what to do, a sentence or two each."""
    return [_verdict(answer), *_quilt_notes(answer), _how_sure(answer), _SCANT, _next(answer)]


_SCANT = (
    "A scant quarter is a seam sewn a thread or two narrower than a quarter of an inch: the thread "
    "and the turn of the pressed cloth take up the rest. So what counts is what the strip "
    "measures, not what a ruler says beside the needle."
)


def exactly(length: Fraction, cm: bool) -> str:
    """Write a length exactly: inches as a fraction, centimetres with the decimals they have."""
    if not cm:
        told = show_length(length, step=None)
        return told if 64 % length.denominator == 0 else f"{told} ({float(length):.4f})"
    return with_unit(length, True)


def typed(length: Fraction, cm: bool) -> str:
    """Write a seam as it is typed after --seam: without a unit, exact or to a 20th of a mm.

    Such a step goes up, so that no unit is promised that isn't reached.
    """
    if not cm:
        return show_length(length, step=None, mark=False)
    twentieths = -(-length // (MILLIMETRE / 20))
    return f"{float(Fraction(twentieths, 200)):g}"


def _verdict(answer: SeamAnswer) -> str:
    strip, cm = answer.strip, answer.cm
    off = strip.seam - answer.wanted
    wanted = with_unit(answer.wanted, cm)
    if not off:
        return f"That is the seam your pattern reckons with, {wanted}: sew on like that."
    right = strip.pieces * strip.cut - 2 * (strip.pieces - 1) * answer.wanted
    way, guide = ("wider", "nearer together") if off > 0 else ("narrower", "further apart")
    return (
        f"Your pattern reckons with {wanted}; yours is {_small(abs(off), cm)} {way}. For "
        f"{wanted} the strip measures {with_unit(right, cm)}: bring needle and guide "
        f"{_small(abs(off), cm)} {guide}, sew another strip and measure it again."
    )


def _small(length: Fraction, cm: bool) -> str:
    """Write a difference, however small."""
    if cm:
        millimetres = float(length * CENTIMETRES_PER_INCH * 10)
        return f"{millimetres:.0f} mm" if millimetres >= 10 else f"{millimetres:.2g} mm"
    if 64 % length.denominator == 0:
        return f"{show_length(length, step=None)}"
    return f"{float(length):.3f} in"


def _quilt_notes(answer: SeamAnswer) -> list[str]:
    """Return what becomes of a quilt with this seam, and with a thread's width more in each."""
    from catalog.cutting.units.sewn_strip import THREAD, width_lost

    cm, lines = answer.cm, []
    off = answer.strip.seam - answer.wanted
    counts = [(seams, count_of(seams, "seam")) for seams in answer.seams]
    if off:
        way = "narrower" if off > 0 else "wider"
        lost = ", ".join(
            f"{words} {_small(abs(width_lost(answer.strip.seam, answer.wanted, seams)), cm)}"
            for seams, words in counts
        )
        lines.append(
            f"Each seam takes that of the cloth on both its sides, so a quilt comes out {way} than "
            f"planned: over {lost}."
        )
    moved = ", ".join(
        f"over {words} {_small(width_lost(THREAD, Fraction(0), seams), cm)}"
        for seams, words in counts
    )
    lines.append(f"A thread's width, {_small(THREAD, cm)}, in every seam is that much: {moved}.")
    return lines


def _how_sure(answer: SeamAnswer) -> str:
    mark = MILLIMETRE if answer.cm else SIXTEENTH
    step = _small(answer.strip.seam_step(mark), answer.cm)
    return (
        f"Read to {shown(mark, answer.cm)}{'' if answer.cm else ' in'}, the strip tells the seam "
        f"to {step}; more pieces tell it finer."
    )


def _next(answer: SeamAnswer) -> str:
    seam = typed(answer.strip.seam, answer.cm) + (" cm" if answer.cm else "")
    return (
        f'Or keep your seam and let the sizes follow: put --seam "{seam}" behind calicount '
        "size, calicount remake or calicount count."
    )


def seam_json(answer: SeamAnswer) -> str:
    """Return the answer as text; lengths as written, and in decimal inches with ``_in``."""
    return json.dumps(_fields(answer), indent=2, ensure_ascii=False)


def _fields(answer: SeamAnswer) -> dict[str, Any]:
    from catalog.cutting.units.sewn_strip import THREAD, width_lost

    strip, cm = answer.strip, answer.cm
    return {
        "seam": typed(strip.seam, cm),
        "seam_in": float(strip.seam),
        "seam_exact_in": str(strip.seam),
        "pieces": strip.pieces,
        "from": shown(strip.cut, cm),
        "from_in": float(strip.cut),
        "sewn": shown(strip.sewn, cm),
        "sewn_in": float(strip.sewn),
        "middle": shown(strip.middle, cm),
        "middle_in": float(strip.middle),
        "wanted_in": float(answer.wanted),
        "wider_in": float(strip.seam - answer.wanted),
        "quilt": [
            {
                "seams": seams,
                "narrower_in": float(width_lost(strip.seam, answer.wanted, seams)),
                "thread_in": float(width_lost(THREAD, Fraction(0), seams)),
            }
            for seams in answer.seams
        ],
        "notes": notes(answer),
        "cautions": list(CAUTIONS),
    }
