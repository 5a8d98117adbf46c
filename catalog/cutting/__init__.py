"""Sizes, seams and cloth: what a unit, a quilt or a pattern asks in, what to cut and buy out."""
