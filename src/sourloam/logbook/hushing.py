"""Keeps what opens a door out of the server's log: links to join, addresses of calendars."""

from __future__ import annotations

import logging
import re

_SECRET = re.compile(r"(/(?:join|calendar)/)[A-Za-z0-9_~%.-]+")
_SHOWN = r"\1…"


class Hushed(logging.Filter):
    """Takes secrets out of the paths that a line tells."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Never drops a line; changes only its secrets."""
        said = record.getMessage()
        quiet = _SECRET.sub(_SHOWN, said)
        if quiet != said:
            record.msg, record.args = quiet, None
        return True
