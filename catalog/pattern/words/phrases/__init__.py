"""Text to phrases: in come signs, out go counts, sizes, shapes, names of cloth, verbs.

`word_tokens` makes tokens, `phrase_reading.Grammar` phrases of them; each production is a function
that reads at one place and says how far it got.
"""
