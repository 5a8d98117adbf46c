"""What of a kept bundle needs a person's eye: a bundle in, few questions with their answers out."""
