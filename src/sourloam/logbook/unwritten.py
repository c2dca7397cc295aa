"""Why the store took nothing: its disk is full, broken, shut; another holds it; it is gone."""

from __future__ import annotations

import errno
from typing import TYPE_CHECKING, Literal

from django.db import DatabaseError, InterfaceError, InternalError, OperationalError
from django.utils.translation import gettext_lazy

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise as StrPromise

Reason = Literal["full", "broken", "closed", "busy", "gone"]
_CANT_WORK = (OperationalError, InternalError, InterfaceError)
_TORN = ("disk image is malformed", "is not a database")
_SIGNS: tuple[tuple[Reason, tuple[str, ...]], ...] = (
    ("full", ("disk is full", "no space left", "file too large", "quota")),
    ("broken", ("disk i/o error", "input/output error", *_TORN)),
    ("closed", ("readonly", "read-only", "permission denied", "unable to open database")),
    ("busy", ("database is locked", "deadlock", "lock timeout", "could not obtain lock")),
)
_NUMBERS: dict[int, Reason] = {
    errno.ENOSPC: "full",
    errno.EFBIG: "full",
    errno.EDQUOT: "full",
    errno.EIO: "broken",
    errno.EROFS: "closed",
    errno.EACCES: "closed",
    errno.EPERM: "closed",
}
SAID: dict[str, StrPromise] = {
    "full": gettext_lazy(
        "The server's disk is full: nothing was written down. Tell whoever runs it."
    ),
    "broken": gettext_lazy(
        "The server's disk is full or broken: nothing was written down. Tell whoever runs it."
    ),
    "closed": gettext_lazy(
        "The server's disk may not be written: nothing was written down. Tell whoever runs it."
    ),
    "busy": gettext_lazy("The log is busy: nothing was written down. Try again in a minute."),
    "gone": gettext_lazy(
        "The log does not answer: nothing was written down. Try again in a minute."
    ),
}


def of_store(error: BaseException) -> bool:
    """Whether the store can't work just now; what it says of bad data is something else.

    A torn file is told by the bare class, of which those about bad data are kinds.
    """
    return isinstance(error, _CANT_WORK) or type(error) is DatabaseError


def is_torn(error: Exception) -> bool:
    """Whether the file itself can't be read, whatever its disk does."""
    return any(sign in str(error).lower() for sign in _TORN)


def reason(error: Exception) -> Reason:
    """Which of the five an error of the store or of the disk is."""
    if isinstance(error, OSError) and error.errno in _NUMBERS:
        return _NUMBERS[error.errno]
    said = str(error).lower()
    return next((why for why, signs in _SIGNS if any(sign in said for sign in signs)), "gone")
