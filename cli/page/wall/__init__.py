"""The wall on the page: the quilt as it is drawn, and moves and cloths that are tried on it.

In: requests of the page, a bundle and its plan. Out: faces in inches, events that make a move, and
what that does to neighbours.
"""
