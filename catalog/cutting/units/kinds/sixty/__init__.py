"""Shapes cut from strips at 60 degrees: triangles with three equal sides, and hexagons.

In come sizes with their seams, in numbers with the root of three; out go units that no block of
squares can hold.
"""
