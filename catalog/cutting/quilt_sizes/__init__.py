"""Rows and columns, sashing and borders: how large a quilt becomes, and what it is near to.

In come a `Layout` (rows, columns, finished sizes in inches) and the `Supply` of sets; out go its
width and length, the pieces of its sashing, its blocks' `places`, and layouts `Filled` from the
supply beside the sizes that quilts usually have (`standard_sizes`).
"""
