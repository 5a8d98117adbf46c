"""The library behind calicount: from a photograph of cloth squares to a tally."""
