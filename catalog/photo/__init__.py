"""Photo files to upright sRGB pixels: the only decoder."""

from catalog.photo.bounds import MAX_PIXELS
from catalog.photo.reading import decode_photo, read_content, read_photo

__all__ = ["MAX_PIXELS", "decode_photo", "read_content", "read_photo"]
