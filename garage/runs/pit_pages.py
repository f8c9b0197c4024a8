"""Routes of the pit sheet."""
