"""Pages of a programme of many places: its morning, its rounds, its places, its figures."""
