"""Triangles that fill the edges and corners of a quilt whose blocks stand on a point.

In come sizes with their seams from `triangle_sides`; out go units that no block can hold.
"""
