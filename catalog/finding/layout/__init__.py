"""Squares in; rows, columns, neighbours, which lies on which, and where one is missing out."""
