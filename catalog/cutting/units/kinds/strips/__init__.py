"""Units of strips: rails, sashing, log cabin and courthouse steps.

In come sizes as sums of finished size and seam; out go the units and families of units.
"""
