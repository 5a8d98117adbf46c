"""Commands that read a pattern as its owner has it."""
