"""Routes of runs."""
