"""A file of the page together with all that it imports, as one file.

The page is written in a hundred small modules. Asked for one by one they took two thirds of what an
opening cost, whether named beforehand (``modulepreload``) or not: what costs is each request. Here
each becomes a block of one script, in the order in which a browser would run them; its own names
are seen by nobody else, and its lines and columns stay, so that the map needs no more than where
each begins (ECMA-426, "index source map"). Style sheets are put together in the same way.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from posixpath import join, normpath, split
from typing import Final

IMPORT: Final = re.compile(
    r'import (?:\{ (?P<names>[\w$, ]+) \}|\* as (?P<whole>[\w$]+)) from "(?P<path>\.[^"]+\.js)";$',
    re.MULTILINE,
)
SHEET: Final = re.compile(r'@import "(?P<path>\.[^"]+\.css)";$', re.MULTILINE)
EXPORT: Final = re.compile(
    r"^export (?=(?:async )?(?:function\*?|const|class) (?P<name>[\w$]+))", re.MULTILINE
)
OTHER: Final = re.compile(r"^(?:import\b|export\b|@import\b).*", re.MULTILINE)
"""What is left of these words once all in the forms above is put together."""


@dataclass(frozen=True)
class JoinedFile:
    """A file with all that it imports."""

    text: str
    source_map: str
    """JSON: where each of its lines stands in the files that it was made of."""


def joined_script(name: str, texts: Mapping[str, str]) -> JoinedFile:
    """Return a module with all that it imports; what it exports, the whole does.

    It also exports ``$modules``, by the name of each what it exports.

    Parameters
    ----------
    name : str
        The way to it from the page's folder, as in ``texts``.
    texts : mapping of str to str
        Every module of the page.

    Raises
    ------
    ValueError
        Modules import one another in a circle, or in a form other than those above.
    """
    file = _Writing(name)
    file.lines.append("const $modules = {};")
    exported: list[str] = []
    for one in _imported_first(name, texts, IMPORT):
        exported = [found["name"] for found in EXPORT.finditer(texts[one])]
        text = IMPORT.sub(partial(_as_constants, one), texts[one])
        text = EXPORT.sub(" " * len("export "), text)
        file.put(one, f"{{ // {one}", text)
        file.lines += [f'$modules["{one}"] = {{ {", ".join(exported)} }};', "}"]
    if exported:
        file.lines.append(f'export const {{ {", ".join(exported)} }} = $modules["{name}"];')
    file.lines.append("export { $modules };")
    return file.ended("//", "")


def joined_sheet(name: str, texts: Mapping[str, str]) -> JoinedFile:
    """Return a style sheet with all that it imports; as `joined_script` does."""
    file = _Writing(name)
    for one in _imported_first(name, texts, SHEET):
        file.put(one, f"/* {one} */", SHEET.sub("", texts[one]))
    return file.ended("/*", " */")


def _imported_first(name: str, texts: Mapping[str, str], form: re.Pattern[str]) -> list[str]:
    """Return a file and all that it imports, each after what it imports itself."""
    order: dict[str, None] = {}

    def put(one: str, above: tuple[str, ...]) -> None:
        if one in above:
            raise ValueError(f"files import one another in a circle: {' '.join(above)} {one}")
        if one not in order:
            for found in form.finditer(texts[one]):
                put(_target(one, found["path"]), (*above, one))
            order[one] = None

    put(name, ())
    return list(order)


def _as_constants(one: str, found: re.Match[str]) -> str:
    """Return the same names taken from what was put before."""
    names = found["whole"] or f"{{ {found['names'].replace(' as ', ': ')} }}"
    return f'const {names} = $modules["{_target(one, found["path"])}"];'


def _target(one: str, path: str) -> str:
    return normpath(join(split(one)[0], path))


class _Writing:
    """A joined file while it is put together."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.lines: list[str] = []
        self._sections: list[dict[str, object]] = []

    def put(self, one: str, head: str, text: str) -> None:
        """Put a file below a line that names it."""
        if left := OTHER.search(text):
            raise ValueError(f"{one} can't be put together with others: {left[0]}")
        self.lines.append(head)
        rows = text.split("\n")
        same = {
            "version": 3,
            "sources": [f"/static/{one}"],
            "names": [],
            "mappings": ";".join(["AAAA", *["AACA"] * (len(rows) - 1)]),
        }
        self._sections.append({"offset": {"line": len(self.lines), "column": 0}, "map": same})
        self.lines += rows

    def ended(self, before: str, after: str) -> JoinedFile:
        """Return the whole, which says where its map is: only who looks for a mistake asks."""
        last = f"{before}# sourceMappingURL={split(self.name)[1]}.map{after}\n"
        whole = {"version": 3, "file": self.name, "sections": self._sections}
        return JoinedFile("\n".join([*self.lines, last]), json.dumps(whole))
