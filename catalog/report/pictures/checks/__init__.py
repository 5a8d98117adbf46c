"""Photos of what was made, with what is to be put right.

In: a photo of the wall with its `WallCheck` and moves, or of trimmed units that were measured. Out:
the photo with marks (`move_marks`) that are told from one another by their shapes.
"""
