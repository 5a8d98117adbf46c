"""Pattern files: in comes a name or TOML text, out goes a checked `Pattern`.

`patterns` is the way in; a `Pattern` holds what the quilt asks of the bundle (`Need`) and, where
the file has a [block], how it is built (`Quilt`). ``shipped/example.toml`` shows every field.
"""
