"""Pages of the ground: beds, waits, when a crop may go in."""
