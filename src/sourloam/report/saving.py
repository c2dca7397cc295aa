"""The picture as a file: SVG, PNG or a page that needs nothing from outside."""

from __future__ import annotations

import json
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import altair as alt
import vl_convert

from sourloam.report.palette import INK, PAPER, SANS, SERIF

_PNG_SCALE = 2
_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; \
script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; \
form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
body {{ margin: 0; background: {paper}; color: {ink}; font-family: {font}; }}
main {{ max-width: 940px; margin: 0 auto; padding: 1.2rem 0; }}
h1, p {{ margin: 0 26px 0.6rem; line-height: 1.45; }}
h1 {{ font-family: {serif}; font-size: 1.8rem; overflow-wrap: anywhere; }}
#plan {{ overflow-x: auto; }}
#plan svg {{ width: 100%; min-width: 660px; height: auto; display: block; }}
#phone {{ display: none; margin: 0 16px; }}
#phone svg {{ width: 100%; height: auto; display: block; }}
{choice}</style>
</head>
<body>
<main>
{head}
<div id="plan">{picture}</div>
{phone}</main>
<script type="application/json" id="spec">{data}</script>
<script>{program}</script>
</body>
</html>
"""
_CHOICE = "@media (max-width: 700px) { #plan { display: none; } #phone { display: block; } }\n"
# The still picture stands in the page already; the program puts the one with tips in its place.
_SNIPPET = """
const spec = JSON.parse(document.getElementById("spec").textContent);
vegaEmbed("#plan", spec, {ast: true, renderer: "svg", actions: false});
"""


def save_chart(
    chart: alt.TopLevelMixin, path: Path | str, phone: alt.TopLevelMixin | None = None
) -> None:
    """Write the picture; the ending of ``path`` says how: .svg, .png or .html.

    ValueError for another ending. The HTML page holds everything it needs and asks no address;
    without scripts it still shows the picture. Where the picture's ``usermeta`` holds a ``name``
    and what is ``said``, both stand in the page as running text in place of the title. ``phone``
    is the same picture drawn narrow: a page shows it, still, where the wide one would be too small
    to read.
    """
    path = Path(path)
    made = _WAYS.get(path.suffix.lower())
    if made is None:
        raise ValueError(f"{path.name}: expected a name that ends in {', '.join(_WAYS)}")
    spec = _spec(chart)
    if phone is not None and made is _html:
        path.write_bytes(_html(spec, _spec(phone)))
    else:
        path.write_bytes(made(spec))


def _spec(chart: alt.TopLevelMixin) -> dict[str, Any]:
    spec: dict[str, Any] = chart.to_dict(validate=False)
    spec.pop("$schema", None)
    return spec


def _version() -> str:
    return ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])


def _svg(spec: dict[str, Any]) -> bytes:
    svg: str = vl_convert.vegalite_to_svg(spec, vl_version=_version())
    return svg.encode("utf-8")


def _png(spec: dict[str, Any]) -> bytes:
    made: bytes = vl_convert.vegalite_to_png(spec, vl_version=_version(), scale=_PNG_SCALE)
    return made


def _html(spec: dict[str, Any], phone: dict[str, Any] | None = None) -> bytes:
    # "<" may not stand in the data as it is: a name in a site file could close the element. The
    # data stays outside the program, because the bundler would write "<" out again.
    # Name and answer stand above as running text, which a narrow screen can wrap.
    words = spec.get("usermeta", {})
    set_above = ("title", "usermeta") if words else ()
    pictured, narrow = (
        {key: value for key, value in (drawn or {}).items() if key not in set_above}
        for drawn in (spec, phone)
    )
    data = json.dumps(pictured).replace("<", "\\u003c")
    program = vl_convert.javascript_bundle(_SNIPPET, vl_version=_version())
    page = _PAGE.format(
        title=escape(words.get("name", "")),
        head=_head(words),
        paper=PAPER,
        ink=INK,
        font=SANS,
        serif=SERIF,
        picture=_svg(pictured).decode("utf-8"),
        phone=_beside(narrow) if narrow else "",
        choice=_CHOICE if narrow else "",
        data=data,
        program=program,
    )
    return page.encode("utf-8")


def _beside(spec: dict[str, Any]) -> str:
    """The narrow picture; its marks have names of their own, beside those of the wide one."""
    drawn = _svg(spec).decode("utf-8").replace('id="', 'id="phone-').replace("url(#", "url(#phone-")
    return f'<div id="phone">{drawn}</div>\n'


def _head(words: dict[str, Any]) -> str:
    if not words:
        return ""
    said = "\n".join(f"<p>{escape(text)}</p>" for text in words["said"])
    return f"<h1>{escape(words['name'])}</h1>\n{said}"


_WAYS: dict[str, Callable[[dict[str, Any]], bytes]] = {".svg": _svg, ".png": _png, ".html": _html}
