"""The quilt as faces: every piece of cloth that shows, as a polygon in inches.

In: a quilt, its layout, what hangs where, and tones for what is bought. Out: `HungQuilt`, from
which a drawing can be made at any size: what each face is cut from and how its cloth is turned.
"""
