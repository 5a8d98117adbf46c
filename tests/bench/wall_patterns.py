"""Patterns of drawn walls: how they are built, for any number of blocks."""

PATTERNS = {
    "rows": (
        1,
        "4 1/2",
        """
[[feature]]
name = "patch"
size = "5"
per_block = 1
[block]
grid = ["A"]
[[block.unit]]
mark = "A"
unit = "square"
fabrics = ["patch"]
""",
    ),
    "pinwheel": (
        2,
        "8",
        """
[[feature]]
name = "wheel"
piece = "square for half-square triangles, two at a time"
size = "5"
per_block = 2
match = 2
[[background]]
piece = "square for half-square triangles, two at a time"
size = "5"
per_block = 2
from = "yardage"
[block]
grid = ["A90 B180", "B A270"]
[[block.unit]]
mark = "A"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["wheel 1", "background 1"]
trim = "4 1/2"
[[block.unit]]
mark = "B"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["wheel 2", "background 2"]
trim = "4 1/2"
""",
    ),
    "four-patch": (
        4,
        "8",
        """
turn_rows = 90
turn_columns = 90
[[feature]]
name = "patch"
size = "4 1/2"
per_block = 2
match = 2
[[feature]]
name = "field"
size = "4 1/2"
per_block = 2
match = 2
[block]
grid = ["A C", "D B"]
[[block.unit]]
mark = "A"
unit = "square"
fabrics = ["patch 1"]
[[block.unit]]
mark = "B"
unit = "square"
fabrics = ["patch 2"]
[[block.unit]]
mark = "C"
unit = "square"
fabrics = ["field 1"]
[[block.unit]]
mark = "D"
unit = "square"
fabrics = ["field 2"]
""",
    ),
    "half squares": (
        1,
        "8 x 4",
        """
[[feature]]
name = "half"
piece = "square for half-square triangles"
size = "5"
per_block = 1
[[background]]
piece = "square for half-square triangles"
size = "5"
per_block = 1
from = "yardage"
[block]
grid = ["A A90"]
[[block.unit]]
mark = "A"
unit = "half-square-triangle"
fabrics = ["half", "background"]
trim = "4 1/2"
""",
    ),
    "diamond": (
        2,
        "8",
        """
[[feature]]
name = "wheel"
piece = "square for half-square triangles, two at a time"
size = "5"
per_block = 2
match = 2
[[background]]
piece = "square for half-square triangles, two at a time"
size = "5"
per_block = 2
from = "yardage"
[block]
grid = ["A B90", "B270 A180"]
[[block.unit]]
mark = "A"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["wheel 1", "background 1"]
trim = "4 1/2"
[[block.unit]]
mark = "B"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["wheel 2", "background 2"]
trim = "4 1/2"
""",
    ),
    "on point": (
        2,
        "8",
        """
set = "on point"
[[feature]]
name = "wheel"
piece = "square for half-square triangles, two at a time"
size = "5"
per_block = 2
match = 2
[[background]]
piece = "square for half-square triangles, two at a time"
size = "5"
per_block = 2
from = "yardage"
[block]
grid = ["A90 B180", "B A270"]
[[block.unit]]
mark = "A"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["wheel 1", "background 1"]
trim = "4 1/2"
[[block.unit]]
mark = "B"
unit = "half-square-triangle"
at_a_time = 2
fabrics = ["wheel 2", "background 2"]
trim = "4 1/2"
""",
    ),
    "hourglass": (
        4,
        "7",
        """
[[feature]]
name = "hourglass"
piece = "square for quarter-square triangles"
size = "5"
per_block = 2
match = 2
[[background]]
piece = "square for quarter-square triangles"
size = "5"
per_block = 2
from = "bundle"
[block]
grid = ["A B90", "B90 A"]
[[block.unit]]
mark = "A"
unit = "quarter-square-triangle"
fabrics = ["hourglass 1", "background 1"]
trim = "4"
[[block.unit]]
mark = "B"
unit = "quarter-square-triangle"
fabrics = ["hourglass 2", "background 2"]
trim = "4"
""",
    ),
}
"""Squares of the bundle to a block, its finished size, and the rest of the pattern."""
