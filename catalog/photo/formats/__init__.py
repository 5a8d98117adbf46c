"""Bytes of one kind of picture file in; its header, limits and pixels out."""
