"""Units of patchwork: what to cut for them, what a square in hand gives, at any seam, exactly.

In come a unit's name, a finished size or the side of a square, the seam and the ruler's marks (all
inches, `Fraction`); out go a `Method`, and sizes as a `SizedUnit` or a `Reach`. Below `kinds` every
unit has its file; `units_by_name` finds it; `sizing` goes from size to cut and back, `sewn_seam`
from a measured unit to its seam. `triangle_sides`, `straight_units`, `flipping` and `face_shapes`
hold what several units share; `steps` tells how a unit is made, to be drawn.
"""
