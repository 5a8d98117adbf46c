"""Photos to what they show, each by itself or many at once, in processes of their own.

What comes back of a photo is small: its squares, light, colours and a small picture of each
square, and no pixels of the photo.
"""

from catalog.analysis.photo_batch import analyse_photos, changed_lights, with_joined_lights
from catalog.analysis.shared_squares import SharedSquare, same_squares
from catalog.analysis.single_photo import PhotoAnalysis, analyse_photo, remeasure_photo

__all__ = [
    "PhotoAnalysis",
    "SharedSquare",
    "analyse_photo",
    "analyse_photos",
    "changed_lights",
    "remeasure_photo",
    "same_squares",
    "with_joined_lights",
]
