"""Photo files to upright sRGB pixels: the only decoder."""

from catalog.photo.reading import MAX_PIXELS, decode_photo, read_content, read_photo

__all__ = ["MAX_PIXELS", "decode_photo", "read_content", "read_photo"]
