"""The catalogue's file: records in, rows of SQLite out, and back; whole, checked and sealed."""
