"""Secrets of links, private addresses and tokens: made and told once, kept as a hash."""

from __future__ import annotations

import hashlib
import secrets

_BYTES = 24


def new_secret(length: int = _BYTES) -> str:
    """A secret of so many random bytes, as text that an address may hold."""
    return secrets.token_urlsafe(length)


def hashed(secret: str) -> str:
    """What is kept of a secret. It is long and random: a plain hash hides it."""
    return hashlib.sha256(secret.encode(errors="replace")).hexdigest()
