"""A kept bundle as one file: records in, a zip out; and back, with nothing in the zip trusted."""
