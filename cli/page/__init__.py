"""The sorting page: a small server on this machine alone, and what it serves."""
