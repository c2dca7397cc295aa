"""How the room tells that something can't be done."""

from __future__ import annotations


class BackupError(Exception):
    """A backup can't be made or taken in; one line: which, why, what would be right."""
