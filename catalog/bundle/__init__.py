"""Measured swatches in; fabrics, colour families and the tally of what is needed out."""
