"""Photo files to upright sRGB pixels: the only decoder."""

from catalog.photo.photo_reading import decode_photo, read_content, read_photo
from catalog.photo.size_limits import MAX_PIXELS

__all__ = ["MAX_PIXELS", "decode_photo", "read_content", "read_photo"]
