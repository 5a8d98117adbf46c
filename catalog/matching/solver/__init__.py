"""Costs of pairs or sets in; the cheapest choice and a proof of it, or a bound, out."""
