"""A pattern looked over as it is filled in, and made over to another size."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from catalog.errors import CalicountError
from cli.page.patterns.drawn_input import data_sent, length_sent, with_drawn
from cli.page.routes.http_answers import PageRequest, told
from cli.page.server_state import ServerState

if TYPE_CHECKING:
    from catalog.cutting.quilt import Quilt
    from catalog.pattern.data.pattern_messages import FieldMessage


class CheckRoutes:
    """The answers about a pattern that is being made."""

    def __init__(self, state: ServerState) -> None:
        self.state = state

    def parts(self, _: PageRequest) -> Response:
        """Answer with the units and choices that patterns are made of."""
        from cli.page.patterns.pattern_views import parts_view

        return told(self.state.answers.of("pattern parts", parts_view))

    def check(self, asked: PageRequest) -> Response:
        """Answer with what doesn't fit, the numbers, the picture, and the pattern as a file."""
        from catalog.pattern.data.block_lengths import with_posts

        data = data_sent(asked.body)
        drawn = asked.body.get("drawn")
        if drawn is not None:
            data = with_drawn(data, drawn)
        elif asked.body.get("follow") is True:
            data = with_posts(data)
        side, seam = self._sizes(asked.body)
        return told(checked_view(data, side, seam))

    def rescale(self, asked: PageRequest) -> Response:
        """Answer with a pattern made over, old beside new."""
        from catalog.pattern.data.rescaling import rescaled

        body, data = asked.body, data_sent(asked.body)
        block, square, seam = (length_sent(body, name) for name in ("block", "square", "seam"))
        strips = body.get("strips") is True
        made = rescaled(data, block=block, square=square, seam=seam, strips=strips)
        rows = [{"what": r.what, "old": r.old, "new": r.new} for r in made.rows]
        return told({"data": made.data, "rows": rows})

    def _sizes(self, body: Mapping[str, Any]) -> tuple[Fraction | None, Fraction | None]:
        """Return the side of the squares in hand, as sent or a bundle's, and the seam as sewn."""
        side, seam = length_sent(body, "side"), length_sent(body, "seam")
        number = body.get("bundle")
        if side is None and type(number) is int and 0 < number < 2**63:
            side = self.state.kept(number).side
        return side, seam


def checked_view(
    data: Mapping[str, Any], side: Fraction | None, seam: Fraction | None
) -> dict[str, Any]:
    """Return all that is told of a pattern's data."""
    from catalog.pattern.data.cloth_groups import cloth_groups
    from catalog.pattern.data.drawn_tiles import drawn_blocks, pieces_of_data
    from catalog.pattern.data.pattern_data import text_of
    from catalog.pattern.data.pattern_messages import check_pattern
    from catalog.pattern.data.squares_in_hand import fit_messages
    from cli.page.patterns.pattern_views import cloths_view, drawn_view, message_view

    checked = check_pattern(data)
    messages: list[FieldMessage] = list(checked.messages)
    quilt = checked.pattern.quilt if checked.pattern else None
    if quilt is not None:
        messages += fit_messages(checked.data, quilt, side, seam)
    try:
        blocks = drawn_view(drawn_blocks(data))
    except CalicountError:
        blocks = None
    return {
        "data": data,
        "messages": [message_view(one) for one in messages],
        "sound": checked.sound,
        "blocks": blocks,
        "cloths": cloths_view(cloth_groups(pieces_of_data(data))),
        "text": text_of(data),
        **(_looks(quilt, side, seam) if quilt else {"numbers": None, "drawing": None}),
    }


def _looks(quilt: Quilt, side: Fraction | None, seam: Fraction | None) -> dict[str, Any]:
    """Return the numbers and the picture; as written where the squares give no such block."""
    from catalog.cutting.quilt_faces import quilt_faces
    from catalog.pattern.data.made_numbers import quilt_numbers
    from cli.page.patterns.pattern_views import faces_view, numbers_view

    try:
        numbers = quilt_numbers(quilt, side, seam)
    except CalicountError:
        numbers = quilt_numbers(quilt)
    return {
        "numbers": numbers_view(numbers),
        "drawing": faces_view(quilt_faces(quilt, numbers.quilt.layout)),
    }
