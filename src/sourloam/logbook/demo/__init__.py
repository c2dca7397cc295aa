"""What the demo puts into an empty store: a season of invented places, and their programmes."""
