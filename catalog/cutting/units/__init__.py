"""Units of patchwork: what to cut for them, what a square in hand gives, at any seam, exactly.

In come a unit's name, a finished size or the side of a square, the seam and the ruler's marks (all
inches, `Fraction`); out go a `Method`, and sizes as a `SizedUnit` or a `Reach`. `units_by_name`
finds a unit; `triangles`, `patchwork`, `flying_geese`, `corner_squares` and `setting_triangles` say
how each is made; `sizing` goes from size to cut and back, `sewn_seam` from a measured unit to its
seam.
"""
