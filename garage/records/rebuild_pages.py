"""Routes of the rebuild sheets."""
