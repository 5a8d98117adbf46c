"""Bundles that stay: what photos said, what a person said since, and what follows from both."""
