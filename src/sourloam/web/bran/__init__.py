"""Pages of inoculated bran: lots, stores, the next batch, how much to give."""
