"""Options that several commands share, so that they read alike."""

from __future__ import annotations

from typing import Annotated

import typer

JsonFlag = Annotated[
    bool, typer.Option("--json", help="Print everything as one JSON object instead.", metavar="")
]
ReplaceFlag = Annotated[
    bool, typer.Option("--replace", help="Write over the files of an earlier run.", metavar="")
]
