"""Stars on a square, whose points are flying geese or half-square triangles.

In come sizes with their seams and the units that the points are; out go the units.
"""
