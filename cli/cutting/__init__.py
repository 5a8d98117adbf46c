"""Commands on sizes alone: a unit, and a pattern made over to the squares in hand."""
