"""Commands that tell what to cut: one unit, or a whole pattern for the squares in hand.

In: sizes as they are typed (the ``_options`` modules). Out: what is cut, trimmed and bought, in
words or as JSON; the ``_request`` modules check and work it out.
"""
