"""What is asked of the computer: content in, files written whole out; one thread, clean streams."""
