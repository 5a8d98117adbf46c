"""Pattern files in; needs, and how the quilt is built, out."""
