"""The colour tables that ship, made anew by colour-science, and what it would cost as a converter.

    python tests/bench/colour_tables.py            # the tables: are they as they ship?
    python tests/bench/colour_tables.py --write    # write them
    python tests/bench/colour_tables.py --compare  # our conversions against colour-science's

The middles of ``iscc_nbs.csv`` come from its own column of published notations.
"""

from __future__ import annotations

import re
import sys
import time
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from catalog.colour import lab
from catalog.colour.ciede2000 import ciede2000_matrix
from catalog.colour.munsell import MIN_VALUE, adapted_to_d65, renotation

_BEGUN = time.process_time()
with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # about plots
    import colour
LOADING = 1000.0 * (time.process_time() - _BEGUN)
"""Milliseconds of processor time, with numpy loaded already."""

ROOT = Path(__file__).resolve().parents[2]
NAMES = ROOT / "catalog/colour/names/iscc_nbs.csv"
CHARTS = ROOT / "catalog/light/references/chart_values.csv"
EDITIONS = {
    "1976": "ColorChecker 1976",
    "2005": "ColorChecker 2005",
    "average": "BabelColor Average",
    "before 2014": "ColorChecker24 - Before November 2014",
    "after 2014": "ColorChecker24 - After November 2014",
}
"""Our word for each set of patches, and the library's."""
TABLES = {NAMES: lambda: names_table(NAMES), CHARTS: lambda: chart_table(CHARTS)}


def names_table(path: Path) -> str:
    """Return the ISCC-NBS names with the middles that their notations have by the renotation."""
    return "".join(_named(line) for line in path.read_text("utf-8").splitlines(keepends=True))


def _named(line: str) -> str:
    found = re.fullmatch(
        r"(?P<name>[a-z -]+),[^a-zA-Z]+,(?P<said>"
        r"(?P<hue>[0-9.]+[A-Z]+|N)(?P<value>[0-9.]+)(?:/(?P<chroma>[0-9.]*))?)\n",
        line,
    )
    if found is None:
        return line
    value = float(found["value"])
    shown = max(value, MIN_VALUE)  # below it only lightness is told, not the chromaticity
    chroma = "" if found["hue"] == "N" else f"/{found['chroma']}"
    xyy = renotation(f"{found['hue']} {shown:g}{chroma}".replace("N ", "N"))
    if value < MIN_VALUE:
        xyy[2] = colour.colorimetry.luminance_ASTMD1535(value) / 100.0
    middle = ",".join(f"{round(part, 2) + 0.0:.2f}" for part in adapted_to_d65(xyy, "C"))
    return f"{found['name']},{middle},{found['said']}\n"


def chart_table(path: Path) -> str:
    """Return the published sets of 24 patches as CIELAB D65."""
    head = [line for line in path.read_text("utf-8").splitlines() if line.startswith(("#", "ed"))]
    return "\n".join([*head, *_patches(), ""])


def _patches() -> Iterator[str]:
    names = [name.split(" (")[0] for name in colour.CCS_COLOURCHECKERS[EDITIONS["1976"]].data]
    for edition, name in EDITIONS.items():
        chart = colour.CCS_COLOURCHECKERS[name]
        for place, (patch, xyy) in enumerate(zip(names, chart.data.values(), strict=True)):
            row, column = divmod(place, 6)
            told = ",".join(f"{part:.3f}" for part in adapted_to_d65(xyy, chart.illuminant))
            yield f"{edition},{row + 1},{column + 1},{patch},{told}"


def neutral_chroma() -> tuple[float, float, float]:
    """Return mean, swing and hue angle of the greatest C*ab that Munsell chroma 0.5 has."""
    families = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
    told = [
        adapted_to_d65(renotation(f"{step:g}{family} {value}/0.5"), "C")
        for family in families
        for step in (2.5, 5.0, 7.5, 10.0)
        for value in range(2, 10)
    ]
    hue = np.radians(lab.hue_angle(told))
    waves = np.column_stack([np.ones_like(hue), np.cos(hue), np.sin(hue)])
    mean, across, along = np.linalg.lstsq(waves, lab.chroma(told), rcond=None)[0]
    return float(mean), float(np.hypot(across, along)), float(np.degrees(np.arctan2(along, across)))


def comparison() -> Iterator[tuple[str, float, float, float]]:
    """Yield what is converted, milliseconds of ours and of theirs, and the largest difference."""
    light = np.random.default_rng(0).random((1000, 1000, 3))
    colours = np.random.default_rng(1).uniform([0, -80, -80], [100, 80, 80], (300, 3))
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    pairs: dict[str, tuple[Callable[[], Any], Callable[[], Any]]] = {
        "sRGB to linear light, 1 MP": (
            lambda: lab.srgb_to_linear(light),
            lambda: colour.models.eotf_sRGB(light),
        ),
        "linear light to sRGB, 1 MP": (
            lambda: lab.linear_to_srgb(light),
            lambda: colour.models.eotf_inverse_sRGB(light),
        ),
        "linear light to CIELAB, 1 MP": (
            lambda: lab.linear_to_lab(light),
            lambda: colour.XYZ_to_Lab(colour.RGB_to_XYZ(light, "sRGB", white), white),
        ),
        "CIEDE2000, 300 x 300": (
            lambda: ciede2000_matrix(colours),
            lambda: colour.delta_E(colours[:, None], colours[None], method="CIE 2000"),
        ),
    }
    for what, (ours, theirs) in pairs.items():
        yield what, _quickest(ours), _quickest(theirs), float(np.abs(ours() - theirs()).max())


def _quickest(work: Callable[[], Any]) -> float:
    """Return milliseconds of processor time, the least of five."""
    taken = []
    for _ in range(5):
        begun = time.process_time()
        work()
        taken.append(time.process_time() - begun)
    return 1000.0 * min(taken)


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")


def main(asked: list[str]) -> int:
    if "--compare" in asked:
        say("| | ours, ms | colour-science, ms | largest difference |\n|---|---|---|---|")
        say(f"| loading it | | {LOADING:.0f} | |")
        for what, ours, theirs, apart in comparison():
            say(f"| {what} | {ours:.0f} | {theirs:.0f} | {apart:.1g} |")
        return 0
    stale = 0
    for path, make in TABLES.items():
        text = make()
        same = text == path.read_text("utf-8")
        stale += not same
        say(f"{path.relative_to(ROOT)}: {'as it ships' if same else 'differs'}")
        if "--write" in asked and not same:
            path.write_text(text, "utf-8", newline="\n")
    say("NEUTRAL_CHROMA = ({:.2f}, {:.2f}, {:.0f})".format(*neutral_chroma()))
    return stale


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
