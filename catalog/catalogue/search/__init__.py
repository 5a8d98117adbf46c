"""Questions across all kept bundles in (a colour, a square); squares near to it out."""
