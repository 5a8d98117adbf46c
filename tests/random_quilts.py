"""Random quilts of many settings: their pattern files, and what they must come to, from geometry.

Nothing here comes from the library: a quilt is drawn as numbers, written as a file, and its areas,
edges and counts are found by going over its places one by one.
"""

import random
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

ROOT2 = 2**0.5
FABRICS = ("moss", "clay", "sky")


@dataclass
class Sort:
    """A block: how many cells it has, and what each is."""

    across: int
    down: int
    cells: list
    """Rows of "square", "half" or "wide"; the second cell of a wide one is None."""


@dataclass
class Drawn:
    """A quilt as drawn."""

    rows: int
    columns: int
    width: Fraction
    length: Fraction
    how: str
    seam: Fraction
    sorts: list
    map: list
    sashing: dict | None
    borders: list
    text: str = ""
    counts: Counter = field(default_factory=Counter)
    """Squares that are cut, by the name of the piece."""


def drawn_quilt(seed):
    """Draw a quilt."""
    rng = random.Random(seed)
    cell = Fraction(rng.choice([8, 12, 16, 18, 20]), 8)
    how = rng.choice(["straight", "straight", "on point", "offset rows"])
    wide, high = rng.choice([(2, 2), (4, 4), (6, 6), (2, 4), (4, 6)])
    if how == "on point":
        high = wide
    sorts = [_sort(rng, wide, high) for _ in range(rng.choice([1, 2, 2, 3]))]
    columns = rng.randint(2, 5)
    rows = rng.randint(2, 5)
    size = (wide * cell, high * cell)
    places = [[rng.randrange(len(sorts)) for _ in range(columns)] for _ in range(2 * rows)]
    for number in range(len(sorts)):  # each lies somewhere, in a line that is long enough
        places[number // columns][number % columns] = number
    sashing = None
    if rng.random() < 0.5:
        posts = how == "on point" or (how == "straight" and rng.random() < 0.6)
        sashing = {
            "width": Fraction(rng.choice([1, 2, 3]), 2),
            "posts": posts,
            "outer": rng.random() < 0.5,
            "half": how == "on point" and rng.random() < 0.5,
        }
    borders = [_border(rng) for _ in range(rng.randint(0, 3))]
    seam = Fraction(rng.choice([4, 4, 3]), 16)
    quilt = Drawn(rows, columns, *size, how, seam, sorts, places, sashing, borders)
    quilt.counts = _counts(quilt)
    quilt.text = _text(quilt, cell)
    return quilt


def _sort(rng, wide, high):
    scale = rng.choice([1, 2]) if wide % 2 == high % 2 == 0 else 1
    across, down = wide // scale, high // scale
    cells = [[rng.choice(["square", "half"]) for _ in range(across)] for _ in range(down)]
    for row in cells:
        if across > 1 and rng.random() < 0.4:
            at = rng.randrange(across - 1)
            row[at : at + 2] = ["wide", None]
    halves = [(r, c) for r in range(down) for c in range(across) if cells[r][c] == "half"]
    if len(halves) % 2:  # halves are made two at a time
        r, c = halves[0]
        cells[r][c] = "square"
    return Sort(across, down, cells)


def _border(rng):
    pieced = rng.random() < 0.5
    return {
        "width": Fraction(rng.randint(8, 40), 8),
        "corners": rng.choice(["butted", "posts"]),
        "pieced": pieced,
        "spacer": pieced and rng.random() < 0.6,
        "lengthwise": not pieced and rng.random() < 0.5,
    }


def lines_of(quilt):
    """Yield for each place in lines as the eye sees them which block lies there."""
    if quilt.how == "on point":
        lengths = [quilt.columns - n % 2 for n in range(2 * quilt.rows - 1)]
    elif quilt.how == "offset rows":
        lengths = [quilt.columns - n % 2 for n in range(quilt.rows)]
    else:
        lengths = [quilt.columns] * quilt.rows
    for number, length in enumerate(lengths):
        yield quilt.map[number % len(quilt.map)][:length]


def _counts(quilt):
    counts = Counter()
    for line in lines_of(quilt):
        for number in line:
            own = Counter(cell for row in quilt.sorts[number].cells for cell in row if cell)
            counts[f"s{number} square"] += own["square"]
            counts[f"s{number} wide"] += own["wide"]
            counts[f"s{number} dark"] += own["half"] // 2
            counts[f"s{number} light"] += own["half"] // 2
    return Counter({name: many for name, many in counts.items() if many})


def _length(value):
    whole, part = divmod(value, 1)
    return f'"{whole} {part}"' if whole and part else f'"{value}"'


def _text(quilt, cell):
    lines = ['title = "Drawn"', 'description = "Drawn by chance."', "[layout]"]
    lines += [f"rows = {quilt.rows}", f"columns = {quilt.columns}"]
    wide, long = (_length(side).strip('"') for side in (quilt.width, quilt.length))
    size = wide if quilt.width == quilt.length else f"{wide} x {long}"
    lines += [f'finished_block = "{size}"', f'set = "{quilt.how}"', f"seam = {_length(quilt.seam)}"]
    letters = "PQRS"
    if len(quilt.sorts) > 1:
        rows = ", ".join(f'"{" ".join(letters[n] for n in line)}"' for line in quilt.map)
        lines.append(f"map = [{rows}]")
    lines += ["[[feature]]", 'name = "scrap"', 'size = "2"', "in_all = 4"]
    for number, sort in enumerate(quilt.sorts):
        lines += _pieces(quilt, number, sort, cell)
    for number, sort in enumerate(quilt.sorts):
        lines += ["[[block]]", f'mark = "{letters[number]}"', *_block(number, sort)]
    if quilt.sashing:
        one = quilt.sashing
        lines += ["[sashing]", f"width = {_length(one['width'])}"]
        lines += [f"posts = {str(one['posts']).lower()}", f"outer = {str(one['outer']).lower()}"]
        lines += ['edge_posts = "half"'] if one["half"] else []
    for one in quilt.borders:
        lines += ["[[border]]", f"width = {_length(one['width'])}", f'corners = "{one["corners"]}"']
        lines += ['pieced = "half-square-triangle"'] if one["pieced"] else []
        lines += ['spacer = "cream"'] if one["spacer"] else []
        lines += ['cut = "lengthwise"'] if one["lengthwise"] else []
    return "\n".join(lines) + "\n"


def cell_of(quilt, sort):
    return quilt.width / sort.across


def half_square(finished, seam):
    """Side of a square for two half-square triangles, up to an eighth.

    Its diagonal is cut and two seams are sewn beside it: finished + (2 + root 2) seams.
    """
    exact = float(finished) + (2 + ROOT2) * float(seam)
    return Fraction(-int(-(exact - 1e-12) * 8 // 1), 8)


def _pieces(quilt, number, sort, cell):
    side, seam = cell_of(quilt, sort), quilt.seam
    own = Counter(one for row in sort.cells for one in row if one)
    lines = []
    for name, size, each in (
        ("square", side + 2 * seam, own["square"]),
        ("wide", 2 * side + 2 * seam, own["wide"]),
        ("dark", half_square(side, seam), own["half"] // 2),
        ("light", half_square(side, seam), own["half"] // 2),
    ):
        if each:
            lines += ["[[background]]", f'name = "s{number} {name}"', f"size = {_length(size)}"]
            lines += [f"per_block = {each}", 'from = "yardage"']
    return lines


def _block(number, sort):
    marks, units = {}, []
    rows, seen = [], Counter()
    for row in sort.cells:
        told = []
        for one in row:
            if one is None:
                told.append(".")
                continue
            seen[one] += 1
            which = (seen[one] + 1) // 2 if one == "half" else seen[one]
            key = (one, which)
            if key not in marks:
                marks[key] = (
                    chr(ord("A") + len(marks))
                    if len(marks) < 26
                    else chr(ord("a") + len(marks) - 26)
                )
                units += _unit(marks[key], number, one, which)
            told.append(marks[key])
        rows.append(" ".join(told))
    grid = ", ".join(f'"{row}"' for row in rows)
    return [f"grid = [{grid}]", *units]


def _unit(mark, number, what, which):
    lines = ["[[block.unit]]", f'mark = "{mark}"']
    if what == "half":
        lines += ['unit = "half-square-triangle"', "at_a_time = 2"]
        return [*lines, f'fabrics = ["s{number} dark {which}", "s{number} light {which}"]']
    if what == "wide":
        return [*lines, 'unit = "rectangle"', "wide = 2", f'fabrics = ["s{number} wide {which}"]']
    return [*lines, 'unit = "square"', f'fabrics = ["s{number} square {which}"]']


def inner_size(quilt):
    """Width and length inside the borders; floats on point."""
    strip = quilt.sashing["width"] if quilt.sashing else Fraction(0)
    sides = []
    for number, block in ((quilt.columns, quilt.width), (quilt.rows, quilt.length)):
        span = number * block + (number - 1) * strip
        if quilt.sashing and quilt.how == "on point":
            span += strip if quilt.sashing["half"] else 2 * strip
        elif quilt.sashing and quilt.sashing["outer"]:
            span += 2 * strip
        sides.append(float(span) * ROOT2 if quilt.how == "on point" else span)
    return sides


def edge_area(quilt):
    """Area of the half blocks of offset rows, or of the triangles on point and what posts lack."""
    strip = quilt.sashing["width"] if quilt.sashing else Fraction(0)
    if quilt.how == "offset rows":
        return quilt.rows // 2 * (quilt.width - strip) * quilt.length
    if quilt.how != "on point":
        return Fraction(0)
    reach = quilt.width if quilt.sashing and quilt.sashing["half"] else quilt.width + strip
    long = quilt.width if quilt.sashing and quilt.sashing["half"] else quilt.width + 2 * strip
    return 2 * (quilt.rows + quilt.columns - 2) * reach**2 / 2 + 4 * long**2 / 4


def blocks_area(quilt):
    return sum(len(line) for line in lines_of(quilt)) * quilt.width * quilt.length
