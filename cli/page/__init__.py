"""The sorting page: requests of this machine's browser in; JSON, pictures and events out."""
