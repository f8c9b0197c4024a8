"""Routes of props: the list and each one's own page."""
