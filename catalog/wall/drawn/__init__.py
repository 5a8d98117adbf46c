"""What is said of a wall in words, as marks in their places on the quilt.

In: a quilt, its layout and what hangs. Out: points in inches from the quilt's upper left corner.
"""
