"""A page as a reader on the screen meets it: headings, names of what can be pressed, pictures."""

from collections import Counter
from html.parser import HTMLParser
from itertools import pairwise

EMPTY = {"input", "meta", "link", "br", "img", "hr", "path", "rect", "circle", "line", "use"}
PRESSED = ("button", "summary", "a")
FIELDS = ("input", "select", "textarea", "meter", "progress")
LIVE = {"status", "alert", "log"}


class Part:
    """An element: its tag, what it is given, what it lies in, what lies in it."""

    def __init__(self, tag, given, above=None):
        self.tag, self.given, self.above, self.inside = tag, given, above, []

    def walk(self):
        yield self
        for one in self.inside:
            if isinstance(one, Part):
                yield from one.walk()

    def all(self, *tags):
        return [part for part in self.walk() if part.tag in tags]

    def within(self, *tags):
        at = self.above
        while at is not None and at.tag not in tags:
            at = at.above
        return at

    def is_hidden(self):
        return self.given.get("aria-hidden") == "true" or "hidden" in self.given

    def name(self):
        """What is read for it."""
        return " ".join(self._said().split())

    def _said(self):
        if self.is_hidden():
            return ""
        if "aria-label" in self.given:
            return self.given["aria-label"]
        if self.tag == "svg":
            return ""
        return "".join(one if isinstance(one, str) else one._said() for one in self.inside)


class Page(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.top = self.at = Part("", {})
        self.feed(text)

    def handle_starttag(self, tag, given):
        part = Part(tag, {k: v or "" for k, v in given}, self.at)
        self.at.inside.append(part)
        if tag not in EMPTY:
            self.at = part

    def handle_startendtag(self, tag, given):
        self.at.inside.append(Part(tag, {k: v or "" for k, v in given}, self.at))

    def handle_endtag(self, tag):
        if tag in EMPTY:
            return
        at = self.at
        while at.tag != tag:
            at = at.above
        self.at = at.above

    def handle_data(self, text):
        self.at.inside.append(text)


def title(page):
    return page.top.all("title")[0].name()


def faults(page):
    """What a reader on the screen would stumble over, in words."""
    for rule in (_headings, _pictures, _pressed, _fields, _tables, _told_twice, _ids):
        yield from rule(page.top)


def _level(part):
    if part.given.get("role") == "heading":
        return int(part.given["aria-level"])
    return int(part.tag[1]) if part.tag in ("h1", "h2", "h3", "h4") else None


def _headings(top):
    found = [(_level(part), part.name()) for part in top.walk() if _level(part)]
    if [level for level, _ in found].count(1) != 1:
        yield f"headings: {[name for level, name in found if level == 1]} are the first"
    for (above, _), (level, name) in pairwise(found):
        if level > above + 1:
            yield f"headings: {name} skips a level"


def _pictures(top):
    for part in top.all("svg", "img"):
        named = part.name() or part.given.get("alt") is not None
        above, hidden = part, False
        while above is not None and not hidden:
            hidden, above = above.is_hidden(), above.above
        if not named and not hidden and not [t for t in part.all("title") if t.inside]:
            yield f"picture without words in {part.above.tag} {part.above.given}"


def _pressed(top):
    """Each has a name; in one part of the page two that do different things have two names."""
    seen = {}
    for part in top.all(*PRESSED):
        name, where = part.name(), part.above if part.tag != "summary" else part.above.above
        if part.is_hidden():
            continue
        pictured = [svg for svg in part.all("svg") if not svg.is_hidden()]
        if not name and not pictured:
            yield f"no name: {part.tag} {part.given}"
        for told in filter(None, (svg.name().split(":")[0] for svg in pictured)):
            if name.count(told) > 1:
                yield f"said twice: {name}"
        scope = where if where.tag in ("details", "section") else where.within("details", "section")
        does = part.given.get("href") or id(part)
        if name and seen.setdefault((scope, part.tag, name), does) != does:
            yield f"two of one name: {part.tag} {name}"


def _fields(top):
    labelled = {label.given.get("for") for label in top.all("label")}
    for part in top.all(*FIELDS):
        wordless = part.given.get("type") == "hidden" or part.is_hidden()
        own = {"aria-label", "aria-labelledby"} & set(part.given)
        if not (wordless or own or part.given.get("id") in labelled or part.within("label")):
            yield f"field without a label: {part.given}"


def _tables(top):
    for table in top.all("table"):
        heads = table.all("th")
        if not heads or any("scope" not in head.given for head in heads):
            yield f"table without heads that say what they head: {table.name()[:60]}"


def _told_twice(top):
    for part in top.walk():
        if part.given.get("role") in LIVE or part.given.get("aria-live") == "polite":
            for one in part.walk():
                if one is not part and one.given.get("role") in LIVE:
                    yield f"told twice: {one.name()}"


def _ids(top):
    ids = Counter(part.given["id"] for part in top.walk() if part.given.get("id"))
    yield from (f"id given twice: {one}" for one, many in ids.items() if many > 1)
    for part in top.walk():
        for name in ("for", "aria-labelledby", "aria-describedby"):
            for one in part.given.get(name, "").split():
                if one not in ids:
                    yield f"{name} of {part.tag} leads nowhere: {one}"
