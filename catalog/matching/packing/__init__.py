"""Sets of 3 or 4, and requests that share squares: near the best, with a bound.

In come costs of pairs and demands; out go sets, and a bound that no choice can beat. `set_packing`
is the order of it: a first choice (`exchange`), the linear program over a growing list of sets
(`set_columns`, `set_enumeration`, `near_sets`), made tighter by `set_cuts`; then better choices by
`diving`, `regrouping` and `neighbourhood_search`, and the proof where few sets are left in doubt.
Squares are numbers here, from 0, in the order of their labels.
"""
