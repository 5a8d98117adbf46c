"""Requests of the page in; answers out, one module for each kind of thing."""
