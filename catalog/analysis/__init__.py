"""Photos to what they show, each by itself or many at once, in processes of their own.

What comes back of a photo is small: its squares, light, colours and a small picture of each
square, and no pixels of the photo.
"""

from catalog.analysis.photo_batch import Teller, brought_together, look_at_all, relit
from catalog.analysis.shared_squares import Pairing, same_squares
from catalog.analysis.single_photo import Looked, look_at, measure_again, printable

__all__ = [
    "Looked",
    "Pairing",
    "Teller",
    "brought_together",
    "look_at",
    "look_at_all",
    "measure_again",
    "printable",
    "relit",
    "same_squares",
]
