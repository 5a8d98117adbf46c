"""The catalogue's file: records in, rows of SQLite with digests out, and back."""
