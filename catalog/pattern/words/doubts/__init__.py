"""What can't be as the text has it: in comes what was read, out go sentences.

`piece_doubts` holds a piece against its own strips, triangles and totals, `cloth_doubts` all that
is cut from a cloth against what is bought, and pieces against blocks and quilt.
"""
