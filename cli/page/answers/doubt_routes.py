"""What of a bundle needs a person, on the page: few questions, each with its answers as deeds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from catalog.catalogue.doubts.doubt_queue import doubt_queue
from cli.page.routes.http_answers import PageRequest, told
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from catalog.catalogue.doubts.doubt_queue import Doubt
    from catalog.catalogue.doubts.questions import DoubtAnswer
    from catalog.catalogue.records import StoredBundle

View = dict[str, Any]


class DoubtRoutes:
    """The answers about what is in doubt."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def doubts(self, asked: PageRequest) -> Response:
        """DoubtAnswer with what needs a person, the most doubtful first."""
        return told(doubts_view(self.state.kept(asked.number("bundle"))))


def doubts_view(kept: StoredBundle) -> View:
    """Return what is asked of photos, and then of squares."""
    queue = doubt_queue(kept)
    names = {photo.id: photo.name for photo in kept.photos}
    return {
        "version": kept.version,
        "left": len(queue.photos) + len(queue.squares),
        "words": queue.words,
        "photos": [
            {**_doubt(one), "name": names[one.photo], "squares": list(one.squares)}
            for one in queue.photos
        ],
        "squares": [
            {**_doubt(one), "square": one.squares[0], "weight": one.weight} for one in queue.squares
        ],
    }


def _doubt(one: Doubt) -> View:
    return {
        "photo": one.photo,
        "reason": one.reason,
        "question": one.question,
        "answers": [_answer(each) for each in one.answers],
    }


def _answer(one: DoubtAnswer) -> View:
    if one.opens:
        return {"words": one.words, "open": one.opens}
    deeds = [{"kind": event.kind, **event.args} for event in one.events]
    return {"words": one.words, "deeds": deeds}
