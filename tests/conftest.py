"""Being here puts this folder on the path, so that every room's tests can import `strategies`."""
