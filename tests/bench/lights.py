"""The log odds by which the light of each photo was explained (`candidates.selection`).

    python tests/bench/lights.py FOLDER...

Prints a Markdown table, a row a photo: how much likelier the ground as it is seen is than even
light (``ground``), the ground without its sheen than as it is seen (``no sheen``) and than even
light (``no sheen, even``), and a shadow found on the ground than none (``shadow``), in nats; then
how many straight borders of shadows run over the squares, how many pairs of squares repeat a print,
and how far they lie apart in the photo's own pixels and in the light chosen (mean CIEDE2000).
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from catalog.finding import find_squares
from catalog.light import without_chart
from catalog.light.border_samples import rectify_squares, without_field
from catalog.light.candidates.relighting import RelitSquares
from catalog.light.candidates.repeat_spread import repeat_differences
from catalog.light.candidates.selection import log_odds_between, relit, select_light
from catalog.light.candidates.shadow_borders import find_borders
from catalog.light.candidates.shadow_lines import shadow_grid
from catalog.light.candidates.shadow_matte import find_shadow_matte, without_shadow
from catalog.light.candidates.surface_field import fit_surface, fit_surface_without_sheen
from catalog.light.reduced_view import reduce_photo
from catalog.light.references.beside_squares import chart_light, find_patches
from catalog.photo import read_photo


def odds(path: Path) -> list[str]:
    """The figures of one photo, "" where there is nothing to compare."""
    truth = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    photo = read_photo(path)
    found = without_chart(photo, find_squares(photo, truth.get("nominal_size_in") or 5.0))
    if not found.squares:
        return [""] * 8
    view = reduce_photo(photo, found)
    ground = fit_surface(view)
    chart = chart_light(view, find_patches(view), ground)
    if chart is not None:
        view, ground = chart.view, chart.field
    laid = rectify_squares(view, found)
    shown, seen = RelitSquares(laid), RelitSquares(without_field(laid, view, ground))
    body = fit_surface_without_sheen(view)
    row = [log_odds_between(seen, shown) if np.isfinite(ground.spread) else None]
    matt = RelitSquares(without_field(laid, view, body)) if body else None
    row += [log_odds_between(matt, other) if matt else None for other in (seen, shown)]
    shadow = find_shadow_matte(view, seen.rectified, ground)
    lit = RelitSquares(without_shadow(seen.rectified, view, shadow)) if shadow else None
    row.append(log_odds_between(lit, seen) if lit else None)
    told = relit(shown, view, select_light(view, laid, ground))
    apart = repeat_differences(told, shown)
    row += [float(one.mean()) if len(one) else None for one in reversed(apart)]
    figures = ["" if one is None else f"{one:.1f}" for one in row]
    borders = find_borders(shadow_grid(view))
    return [*figures[:4], str(len(borders)), str(len(apart[0])), *figures[4:]]


def main() -> None:
    """Print the table of all photos in the folders named."""
    sys.stdout.write(
        "| photo | ground | no sheen | no sheen, even | shadow | borders | repeats | raw | told |\n"
        "|---|---|---|---|---|---|---|---|---|\n"
    )
    for folder in sys.argv[1:]:
        for path in sorted(Path(folder).glob("*.jpg")):
            sys.stdout.write(f"| {path.stem} | {' | '.join(odds(path))} |\n")


if __name__ == "__main__":
    main()
