"""Routes of service."""
