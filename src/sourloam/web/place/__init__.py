"""Pages of one place: its shelf, work, year, absence, calendar, sheet and achievement."""
