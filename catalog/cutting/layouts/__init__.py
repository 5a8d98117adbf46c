"""Pieces as they lie on the cloth: which cut comes first, and what is left.

In come the strips of a plan, or pieces and the precut cloth that they are to come from (inches,
`Fraction`); out goes a `ClothLayout`, which is drawn to scale, and what stock is wanted.
"""
