"""Routes of build states with the runs made on them."""
