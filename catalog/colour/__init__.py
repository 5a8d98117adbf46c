"""Colour science and words for colours: sRGB, CIELAB, CIEDE2000, Munsell notations, names."""
