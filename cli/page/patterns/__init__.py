"""Patterns drawn and filled in: in come their data, out go checks, numbers and pictures."""
