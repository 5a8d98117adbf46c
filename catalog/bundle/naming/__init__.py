"""A square's palette in; the colours that it is named by and looked for by, and its name, out."""
