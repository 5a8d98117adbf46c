"""What the page knows before it asks a person: a bundle in, what would change and is open out."""
