"""Results in; pages to look at and to print out (HTML, PDF)."""
