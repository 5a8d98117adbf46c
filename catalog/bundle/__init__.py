"""The bundle: in come swatches, needs and sets; out go fabrics, families and the tally.

`fabrics` and `families` tell which squares belong together, `eligibility` which may serve a need,
`pieces` and `piece_stock` what a square gives that is larger than the piece; `tally` counts.
"""
