"""Making and keeping the inoculated bran."""
