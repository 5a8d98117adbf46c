"""How a unit is made, step by step, as data that can be drawn.

In come a unit's sizes (`SizedUnit`); out go `Step` values: one sentence, cloths and lines, inches.
`sewing_steps` says what a step is and how it is drawn, `cloth_geometry` cuts, folds and joins
cloth, `straight_steps` and `diagonal_steps` are what the units' files build their steps of.
"""
