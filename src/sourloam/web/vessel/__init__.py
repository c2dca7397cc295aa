"""A vessel's page, and what is foreseen of it."""
