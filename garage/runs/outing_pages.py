"""Routes of outings."""
