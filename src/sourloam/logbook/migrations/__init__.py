"""How the store came to be."""
