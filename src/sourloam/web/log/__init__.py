"""Lines of the log: what an entry says, how a posted form becomes one, why one is refused."""
