"""Commands that count a bundle against a pattern, and the pages made from a count."""
