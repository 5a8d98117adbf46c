"""The calicount command."""
