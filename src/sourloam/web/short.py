"""The short address on a vessel's printed label."""

from __future__ import annotations

import base64
import hashlib

_BYTES = 5  # one in a million million for another vessel to share it


def code(place: str, vessel: str) -> str:
    """Eight small letters and digits that stand for one vessel of one place."""
    digest = hashlib.sha256(f"{place}\n{vessel}".encode()).digest()
    return base64.b32encode(digest[:_BYTES]).decode("ascii").lower()
