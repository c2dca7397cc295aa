"""How the logbook says no."""

from __future__ import annotations


class Refused(Exception):
    """What was asked may not be or cannot be; one line for people, with an HTTP status and the
    field that is wrong, where there is one."""

    def __init__(self, line: str, status: int = 403, field: str | None = None) -> None:
        super().__init__(line)
        self.status = status
        self.field = field
