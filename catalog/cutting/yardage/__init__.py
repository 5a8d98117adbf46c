"""Fabric to buy and strips to cut: exact arithmetic of cloth by the yard.

In come sizes of pieces, or of a quilt, and the `Bolt` they are cut from (inches, `Fraction`); out
go a `StripPlan`, `Border`, `Binding`, `Backing` or `Batting`, each with its words, and a `Purchase`
of what is bought by length.
"""
