"""What a person says or does about a bundle: events in, the bundle as it then stands out."""
