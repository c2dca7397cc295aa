"""The one error of this room."""


class SiteError(ValueError):
    """A site file can't be used; the message is one line: where, what was found, what is right."""
