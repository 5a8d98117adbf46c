"""Photos that are sent piece by piece.

In: pieces, each with its offset. Out: a whole photo in the row of those to be looked at; an upload
that broke off goes on where it was, after a restart too.
"""
