"""Squares, rectangles, and patches of equal squares, cut as squares or from strips.

In come sizes as sums of finished size and seam; out go the units of straight pieces.
"""
