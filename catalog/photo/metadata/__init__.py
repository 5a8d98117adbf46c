"""A photo file's bytes in; the same pixels without place, time and camera out."""
