"""Results as files: tables, one JSON object, a picture; each a pure function of the results."""
