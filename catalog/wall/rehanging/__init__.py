"""What a person moves on the wall: what may change places, and what that does to neighbours.

In: a wall as it hangs, its sets, and what is to go where. Out: `TakenBlock`s to hang instead, and
the differences between neighbours before and after.
"""
