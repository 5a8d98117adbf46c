"""Rough squares and pixels in, squares with exact sides and corners out."""
