"""The solver behind pairs: in come costs of pairs; out go the best pairs, proven.

`pair_matching` is the way in, `exact_pairs` the order of it, `certificate` the proof; ties are for
`tie_breaking`. Squares are numbers here, from 0, in the order of their labels. Sets of 3 or 4 and
requests that share squares are for `catalog.matching.packing`.
"""
