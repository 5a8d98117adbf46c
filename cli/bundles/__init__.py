"""Commands on bundles that stay: put in, shown, looked through, taken out, written elsewhere."""
