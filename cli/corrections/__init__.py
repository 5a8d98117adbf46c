"""Commands that say or do something about the squares and photos of a kept bundle."""
