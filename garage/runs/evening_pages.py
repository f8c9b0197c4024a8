"""Routes of the evening table."""
