"""Where the plan lies in a photo: in come pixels and a plan, out goes a `Registration`.

`seen_squares` finds squares and lays them flat, `plan_offsets` guesses which of the plan's they may
be, `offset_colours` chooses by colour, `registration` brings every block onto its own squares.
"""
