"""Routes of modifications."""
