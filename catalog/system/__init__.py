"""What is asked of the computer: files written whole, threads, streams kept clean."""
