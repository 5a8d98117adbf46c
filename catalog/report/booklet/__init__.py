"""A pattern as it was adapted, as pages to sew from.

In comes a `Booklet`; out goes a PDF (`booklet_pdf`). `step_drawing`, `block_drawing` and
`rows_drawing` make drawings in greys, `flowing_pages` puts words and drawings on sheets one below
the other, the sections say what stands there.
"""
