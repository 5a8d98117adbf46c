"""Squares with other fabric in their corners: flipped corners, octagon, square in a square.

In come sizes with their seams; out go the units.
"""
