"""A pattern adapted: what was written, and what it becomes with the squares in hand.

In come a `Quilt`, the side of the squares, the seam really sewn (inches, `Fraction`) and the sets
that there are; out goes an `AdaptedPattern`: each length as written and as it becomes, what is cut,
what is bought, and the sizes that the sets fill. `adaptation` is the order of the steps.
"""
