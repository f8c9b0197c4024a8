"""Routes of waters."""
