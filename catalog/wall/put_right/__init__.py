"""A wall as it was seen: in come the plan and a `WallCheck`; out goes what to do about it.

`moves_needed` says what to put right and in which order, `move_words` says it in words,
`as_it_hangs` what the plan becomes where the wall is to be taken as it hangs (`taken_blocks` makes
the plan of it), `wall_table` and `planned_table` read a plan back from its ``wall.csv``.
"""
