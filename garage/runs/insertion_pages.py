"""Routes of a forgotten change put in at its date."""
