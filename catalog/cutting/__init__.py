"""The cutting table: in come a pattern's `Quilt`, squares in hand, seam and cloth; out goes a plan.

`units` says how each unit is made and sized, `yardage` what strips and cloth it takes,
`quilt_sizes` how large the quilt becomes; `adapted` brings them together for a pattern. All lengths
are inches as `Fraction`, so that nothing is rounded before the ruler.
"""
