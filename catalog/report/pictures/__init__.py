"""Results and photos in; pictures out: squares outlined, in grey, the quilt to scale."""
