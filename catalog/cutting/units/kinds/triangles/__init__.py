"""Half-square and quarter-square triangles, flying geese: units sewn on the diagonal.

In come sizes with their seams from `triangle_sides`; out go the units.
"""
