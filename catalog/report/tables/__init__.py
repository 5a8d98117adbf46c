"""Results in; CSV tables and one JSON object out."""
