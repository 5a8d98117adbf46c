"""A picture of a drawn block read: in comes a photo's pixels, out goes a proposal with its doubts.

`drawing_reading` is the way in and the order of the stages; README.md says how each works.
"""
