"""Pixels, notations and words in; CIELAB, CIEDE2000 differences and names out."""
