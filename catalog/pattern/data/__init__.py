"""A pattern as data: in comes what a form holds, out go what doesn't fit and a pattern file.

The data of a pattern are what its file's TOML holds, as plain values. They are written as a file
(`pattern_data`), edited (`field_edits`), checked with the nearest that works for each fault
(`pattern_messages`), made over to another block, square or seam (`rescaling`), built of drawn
blocks (`drawn_tiles`, `settled_pieces`) and told as numbers (`made_numbers`). The rules are those
of the file's own reader; there are no others here.
"""
