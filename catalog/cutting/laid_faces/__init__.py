"""Where every piece of cloth of a quilt shows, told once for all that draw it.

In: a quilt and its layout. Out: polygons in inches, (0, 0) the quilt's upper left corner, each with
what part of the quilt it is; those who draw say what it is cut from. Blocks are told once a kind.
"""
