"""The solvers behind matching: in come costs of pairs and demands; out go sets and a bound.

Pairs alone are solved exactly (`pair_matching`, proven by `certificate`, ties by `tie_breaking`);
sets of 3 or 4 and requests that share squares near the best, with a bound (`set_packing`). Squares
are numbers here, from 0, in the order of their labels.
"""
