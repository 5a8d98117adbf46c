"""Cutting instructions in words: in comes text as patterns print it, out go pieces and doubts.

`instruction_reading.read_instructions` is the way in. `phrases` turns signs into phrases (counts,
sizes, cloth), this room puts phrases together to pieces, `doubts` says where numbers disagree.
"""
