"""One place, described in a file that people write: what can stand in it and how it is read.

``load`` reads and checks a TOML file; the methods of ``Site`` (``to_climate``, ``to_room``,
``to_streams``, ``to_vessels``) give what the science rooms take. ``site_schema`` is the JSON
Schema of such a file; ``spans_within`` dates a holiday or busy time that comes every year.
"""

from sourloam.site.conversion import Supply, spans_within
from sourloam.site.errors import SiteError
from sourloam.site.model import Site
from sourloam.site.reading import load, loads
from sourloam.site.schema import site_schema

__all__ = ["Site", "SiteError", "Supply", "load", "loads", "site_schema", "spans_within"]
