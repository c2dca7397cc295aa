"""From signs to a cause and a remedy."""
