"""The page to print and lay beside the squares: how it is drawn, and where a photo shows it.

In: a photo's pixels. Out: a `SeenPage`: which of its marks are seen and where, which tells how the
plane lies and how long an inch is in it. `printed_layout` alone says what stands where on it:
`catalog.report` draws by that, `mark_detection` looks by it, `catalog.light` takes its white by it.
"""
