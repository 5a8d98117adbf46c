"""Commands on sizes alone. In: lengths as typed, a pattern; out: what to cut, trim and buy."""
