"""Routes of steps."""
