"""Patterns of one's own: pattern files in, kept by name with their history; pattern files out."""
