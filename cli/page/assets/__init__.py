"""The files of the page, each by itself or as one with all that it imports."""
