"""What of a kept bundle is in doubt, in lines and as an object, with the commands that end it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from catalog.light_questions import LIGHT_QUESTIONS
from cli import console
from cli.bundles.open_bundle import opened, quoted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.catalogue.doubts.doubt_queue import Doubt, DoubtQueue
    from catalog.catalogue.records import StoredBundle
    from cli.options import Manner


def tell_doubts(name: str, manner: Manner) -> None:
    """Say what of a bundle needs a person."""
    from catalog.catalogue.doubts.doubt_queue import doubt_queue

    with opened(manner, reading=True) as file:
        kept = file.bundle(name)
    queue = doubt_queue(kept)

    def say() -> None:
        for line in doubt_lines(kept, queue):
            console.tell(line)

    console.answer(manner, lambda: doubts_object(kept, queue), say)


def doubt_lines(kept: StoredBundle, queue: DoubtQueue) -> list[str]:
    """Return what is in doubt in words."""
    lines = [f"{kept.name}: {queue.words}"]
    for one in (*queue.photos, *queue.squares):
        lines += [
            "",
            f"{_what(kept, one)}: {one.reason} {one.question}",
            *(f"  {words}: {command}" for words, command in _commands(kept, one)),
        ]
    return lines


def doubts_object(kept: StoredBundle, queue: DoubtQueue) -> dict[str, Any]:
    """Return what is in doubt as an object."""
    photos = {photo.id: photo.number for photo in kept.photos}
    return {
        "bundle": kept.name,
        "words": queue.words,
        "doubts": [
            {
                "photo": photos[one.photo],
                "squares": [kept.label(number) for number in one.squares],
                "weight": one.weight,
                "reason": one.reason,
                "question": one.question,
                "commands": [command for _, command in _commands(kept, one)],
            }
            for one in (*queue.photos, *queue.squares)
        ],
    }


def _what(kept: StoredBundle, one: Doubt) -> str:
    if len(one.squares) == 1:
        return kept.label(one.squares[0])
    return next(photo.name for photo in kept.photos if photo.id == one.photo)


def _commands(kept: StoredBundle, one: Doubt) -> Sequence[tuple[str, str]]:
    """Return what can be answered, and the command that says it."""
    bundle, photo = quoted(kept.name), next(p for p in kept.photos if p.id == one.photo)
    if not one.squares and photo.question is not None:
        answers = LIGHT_QUESTIONS[photo.question].answers
        return [
            (each.words, f"calicount light {bundle} {each.option} --photo {photo.number}")
            for each in answers
        ]
    labels = " ".join(kept.label(number) for number in one.squares)
    told = [("right as found", f"calicount square right {bundle} {labels}")]
    if len(one.squares) == 1:
        told.append(("no square", f"calicount square isnt {bundle} {labels}"))
    return told
