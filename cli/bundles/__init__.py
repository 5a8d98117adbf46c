"""Commands on bundles that stay. In: names, photos, options; out: what the catalogue then holds."""
