"""A strict small reader of RFC 5545, written from the standard, to test what was written by other
hands: it raises where a line, a name, a nesting or a value is not as the standard has it."""

import datetime as dt
import re

from dateutil.rrule import rrulestr

_NAME = re.compile(r"[A-Z0-9-]+$")
_ESCAPE = re.compile(r"\\(.)")


def unfolded(data: bytes) -> list[str]:
    """Content lines (3.1): CRLF ends, at most 75 octets, folds begin with a space."""
    if not data.endswith(b"\r\n") or b"\n" in data.replace(b"\r\n", b""):
        raise ValueError("every line ends with CRLF")
    lines = data[:-2].split(b"\r\n")
    joined: list[bytes] = []
    for line in lines:
        if len(line) > 75:
            raise ValueError(f"longer than 75 octets: {line!r}")
        if line.startswith((b" ", b"\t")):
            joined[-1] += line[1:]
        elif not line:
            raise ValueError("an empty line")
        else:
            joined.append(line)
    return [line.decode("utf-8") for line in joined]


def parsed(line: str) -> tuple[str, dict[str, str], str]:
    """Name, parameters and value of a content line without quoted parameters."""
    head, colon, value = line.partition(":")
    name, *given = head.split(";")
    if not colon or not _NAME.match(name):
        raise ValueError(f"not a content line: {line!r}")
    return name, dict(part.split("=", 1) for part in given), value


def text(value: str) -> str:
    """A TEXT value (3.3.11): commas, semicolons, backslashes and line breaks are escaped."""
    bare = _ESCAPE.sub("", value)
    if "," in bare or ";" in bare:
        raise ValueError(f"unescaped: {value!r}")
    return _ESCAPE.sub(lambda found: "\n" if found[1] in "nN" else found[1], value)


def day(value: str, parameters: dict[str, str]) -> dt.date:
    """A DATE value (3.3.4), said to be one."""
    if parameters.get("VALUE") != "DATE" or not re.fullmatch(r"\d{8}", value):
        raise ValueError(f"not a date: {value!r}")
    return dt.date(int(value[:4]), int(value[4:6]), int(value[6:]))


def events(data: bytes) -> list[dict[str, object]]:
    """Each event with its summary, description, first day, days it falls on, uid."""
    lines = [parsed(line) for line in unfolded(data)]
    if lines[0] != ("BEGIN", {}, "VCALENDAR") or lines[-1] != ("END", {}, "VCALENDAR"):
        raise ValueError("one VCALENDAR")
    inside, found, heads = None, [], {}
    for name, parameters, value in lines[1:-1]:
        if name == "BEGIN":
            if inside is not None or value != "VEVENT":
                raise ValueError(f"BEGIN:{value} here")
            inside = []
        elif name == "END":
            found.append(_event(inside))
            inside = None
        elif inside is None:
            heads[name] = value
        else:
            inside.append((name, parameters, value))
    if heads.get("VERSION") != "2.0" or not heads.get("PRODID"):
        raise ValueError("VERSION and PRODID are required")
    if len({event["uid"] for event in found}) < len(found):
        raise ValueError("a UID stands twice")
    return found


def _event(lines):
    once = {}
    skipped = set()
    for name, parameters, value in lines:
        if name == "EXDATE":
            skipped |= {day(part, parameters) for part in value.split(",")}
        elif name in once:
            raise ValueError(f"{name} stands twice")
        else:
            once[name] = (parameters, value)
    if not re.fullmatch(r"\d{8}T\d{6}Z", once["DTSTAMP"][1]):
        raise ValueError("DTSTAMP is in UTC")
    first, end = (day(once[name][1], once[name][0]) for name in ("DTSTART", "DTEND"))
    if end <= first:
        raise ValueError("DTEND is after DTSTART")
    days = [first + dt.timedelta(days=i) for i in range((end - first).days)]
    if "RRULE" in once:
        start = dt.datetime.combine(first, dt.time())
        days = [moment.date() for moment in rrulestr(once["RRULE"][1], dtstart=start)]
        if not skipped <= set(days):
            raise ValueError("EXDATE names a day on which nothing falls")
    return {
        "uid": once["UID"][1],
        "summary": text(once["SUMMARY"][1]),
        "text": text(once["DESCRIPTION"][1]) if "DESCRIPTION" in once else "",
        "days": [one for one in days if one not in skipped],
    }
