"""Commands that count. In: photos or a bundle, a pattern, rules; out: tally, files, pages."""
