"""Routes of packs: the list and each one's own page."""
