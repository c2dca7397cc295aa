"""One document as a page: its Markdown rendered, its links led to the site's own pages."""

from __future__ import annotations

import html
import posixpath
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from markdown_it import MarkdownIt
from markdown_it.token import Token

_OUTSIDE = re.compile(r"^[a-z][a-z0-9+.-]*:", re.IGNORECASE)


@dataclass
class Page:
    """Body and headings of a page, the files it shows and the links that lead nowhere."""

    title: str
    body: str
    headings: list[tuple[str, str]] = field(default_factory=list)
    files: set[str] = field(default_factory=set)
    lost: list[str] = field(default_factory=list)


def render(text: str, path: str, pages: Mapping[str, str], there: Callable[[str], bool]) -> Page:
    """``path`` is the document's in the repository; ``pages`` the site's address of each document;
    ``there`` tells whether the repository has a file."""
    reader = MarkdownIt("commonmark", {"html": False}).enable(["table", "strikethrough"])
    tokens = reader.parse(re.sub(r"<!--.*?-->\n?", "", text, flags=re.DOTALL))
    page = Page(path, "")
    _name_headings(tokens, page)
    for token in tokens:
        for child in token.children or ():
            _lead(child, path, pages, there, page)
    body = reader.renderer.render(tokens, reader.options, {})
    page.body = body.replace("<table>", '<div class="wide"><table>').replace(
        "</table>", "</table></div>"
    )
    return page


def slug(heading: str) -> str:
    """The address of a heading within its page."""
    plain = unicodedata.normalize("NFKD", heading).lower()
    return re.sub(r"\s+", "-", re.sub(r"[^\w\s-]", "", plain).strip())


def _name_headings(tokens: list[Token], page: Page) -> None:
    for place, token in enumerate(tokens):
        if token.type != "heading_open":
            continue
        said = "".join(c.content for c in tokens[place + 1].children or ())
        token.attrSet("id", slug(said))
        if token.tag == "h1":
            page.title = said
        if token.tag == "h2":
            page.headings.append((slug(said), said))


def _lead(
    token: Token, path: str, pages: Mapping[str, str], there: Callable[[str], bool], page: Page
) -> None:
    name = {"link_open": "href", "image": "src"}.get(token.type)
    if name is None:
        return
    address = str(token.attrGet(name) or "")
    if _OUTSIDE.match(address) or address.startswith("#"):
        return
    target, _, place = address.partition("#")
    file = posixpath.normpath(posixpath.join(posixpath.dirname(path), target))
    if file in pages:
        token.attrSet(name, pages[file] + (f"#{place}" if place else ""))
    elif there(file):
        page.files.add(file)
        token.attrSet(name, f"files/{file}")
    else:
        page.lost.append(address)


def contents(headings: list[tuple[str, str]]) -> str:
    """What stands on a page, as links."""
    links = (f'<li><a href="#{at}">{html.escape(said)}</a></li>' for at, said in headings)
    return "".join(links)
