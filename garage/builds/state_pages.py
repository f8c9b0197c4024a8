"""Routes of the workshop visit and of slips mended in build states."""
