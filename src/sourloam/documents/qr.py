"""QR codes as drawings, and what they say."""

from __future__ import annotations

import io
import re
import unicodedata

import segno

_LEVEL = "m"  # a label gets wet and scratched: a seventh of it may be lost


def qr_svg(text: str) -> str:
    """A QR code in black on white, with the quiet edge that readers need."""
    kept = io.BytesIO()
    code = segno.make(text, error=_LEVEL, micro=False)
    code.save(kept, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False)
    return kept.getvalue().decode("utf-8")


def slug(name: str) -> str:
    """A name as part of an address: small letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or "x"


def said_by(address: str, vessel: str, place: str, code: str = "") -> str:
    """What the code of a vessel holds: its page where the place is served, else its name.

    ``address`` is where Sourloam answers, with or without the /v that leads to labels; ``code`` the
    short one of a vessel in a logbook, its name where there is none.
    """
    if address:
        base = address.rstrip("/").removesuffix("/v")
        return f"{base}/v/{code or slug(vessel)}"
    return f"{vessel}\n{place}"
