"""Gather the texts that pages show, keep the Spanish list complete, compile it.

    python tools/translations.py           add what is missing to django.po, compile django.mo
    python tools/translations.py --check   exit 1 if anything is missing, stale or not compiled

Pure Python: no gettext tools are needed, and running Sourloam needs only the compiled file.
"""

from __future__ import annotations

import ast
import re
import struct
import sys
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

SOURCE = Path(__file__).parents[1] / "src" / "sourloam"
CATALOG = SOURCE / "web" / "locale" / "es" / "LC_MESSAGES" / "django.po"
ROOMS = ("web", "logbook", "ledger", "triage", "exchange", "programme")
CALLS = {"_", "gettext", "gettext_lazy", "gettext_noop"}
PLURALS = {"ngettext", "ngettext_lazy"}
HEADER = (
    "Language: es\nMIME-Version: 1.0\nContent-Type: text/plain; charset=UTF-8\n"
    "Content-Transfer-Encoding: 8bit\nPlural-Forms: nplurals=2; plural=(n != 1);\n"
)
Key = tuple[str, str]  # singular, plural ("" if there is none)
_STRING = r"u?(?:'(?:[^'\\]|\\.)*'|\"(?:[^\"\\]|\\.)*\")"
_TEMPLATE = re.compile(rf"\b(n?p?gettext)\(({_STRING})(?:,\s*({_STRING}))?")


def gathered() -> set[Key]:
    """Every text of the pages."""
    found: set[Key] = set()
    for room in ROOMS:
        for path in sorted((SOURCE / room).rglob("*.py")):
            found |= set(_of_python(path.read_text(encoding="utf-8")))
    for path in sorted((SOURCE / "web" / "templates").rglob("*.html")):
        found |= set(_of_template(path.read_text(encoding="utf-8")))
    return found | {(text, "") for text in _of_registers()}


def _of_python(text: str) -> Iterator[Key]:
    for node in ast.walk(ast.parse(text)):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
            continue
        said = [a.value for a in node.args if isinstance(a, ast.Constant) and a.value]
        texts = [value for value in said if isinstance(value, str)]
        if node.func.id in CALLS and texts:
            yield texts[0], ""
        elif node.func.id in PLURALS and len(texts) == 2:
            yield texts[0], texts[1]


def _of_template(text: str) -> Iterator[Key]:
    from django.utils.translation.template import templatize

    for match in _TEMPLATE.finditer(templatize(text)):
        plural = ast.literal_eval(match[3]) if match[1] == "ngettext" and match[3] else ""
        yield ast.literal_eval(match[2]), plural


def _of_registers() -> Iterator[str]:
    """Texts that stand in registers rather than in calls."""
    from sourloam import garden
    from sourloam.ledger import KINDS
    from sourloam.web import lot_words
    from sourloam.web.foretold import sentences

    yield from sentences()
    yield from lot_words.sentences()
    yield from (kind.label for kind in KINDS.values())
    yield from (crop.replace("_", " ") for crop in garden.crop_names())


def read(path: Path) -> dict[Key, tuple[str, ...]]:
    """The entries of a .po file as this tool writes it."""
    entries: dict[Key, tuple[str, ...]] = {}
    for block in path.read_text(encoding="utf-8").split("\n\n") if path.exists() else []:
        parts = _parts(block)
        if parts.get("msgid"):
            forms = [parts.get("msgstr", "")] if "msgid_plural" not in parts else [
                parts.get("msgstr[0]", ""),
                parts.get("msgstr[1]", ""),
            ]  # fmt: skip
            entries[parts["msgid"], parts.get("msgid_plural", "")] = tuple(forms)
    return entries


def _parts(block: str) -> dict[str, str]:
    parts: dict[str, str] = {}
    name = ""
    for row in block.splitlines():
        if row.startswith("#") or not row.strip():
            continue
        head, quote, rest = row.partition('"')
        name = head.strip() or name
        parts[name] = parts.get(name, "") + ast.literal_eval(quote + rest)
    return parts


def written(entries: dict[Key, tuple[str, ...]]) -> str:
    """Text of the .po file."""
    blocks = ['msgid ""\nmsgstr ' + _quoted(HEADER)]
    for (one, many), forms in sorted(entries.items()):
        block = f"msgid {_quoted(one)}"
        if many:
            block += f"\nmsgid_plural {_quoted(many)}"
            block += "".join(f"\nmsgstr[{i}] {_quoted(form)}" for i, form in enumerate(forms))
        else:
            block += f"\nmsgstr {_quoted(forms[0])}"
        blocks.append(block)
    return "\n\n".join(blocks) + "\n"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'


def compiled(entries: dict[Key, tuple[str, ...]]) -> bytes:
    """The .mo file: as the GNU format lays it out, sorted, without a hash table."""
    pairs = {b"": HEADER.encode()}
    for (one, many), forms in entries.items():
        if all(forms):
            key = f"{one}\0{many}" if many else one
            pairs[key.encode()] = "\0".join(forms).encode()
    ids = sorted(pairs)
    start = 28 + 16 * len(ids)
    keys, values = b"", b""
    spots: list[tuple[int, int]] = []
    for key in ids:
        spots.append((len(key), start + len(keys)))
        keys += key + b"\0"
    offset = start + len(keys)
    ends: list[tuple[int, int]] = []
    for key in ids:
        ends.append((len(pairs[key]), offset + len(values)))
        values += pairs[key] + b"\0"
    head = struct.pack("<7I", 0x950412DE, 0, len(ids), 28, 28 + 8 * len(ids), 0, 28 + 16 * len(ids))
    table = b"".join(struct.pack("<2I", *spot) for spot in (*spots, *ends))
    return head + table + keys + values


def main() -> int:
    """Update or check; 1 if the check finds something."""
    if not settings.configured:
        settings.configure(USE_I18N=True)
    known, wanted = read(CATALOG), gathered()
    merged = {key: known.get(key, ("", "") if key[1] else ("",)) for key in wanted}
    empty = [key[0] for key, forms in merged.items() if not all(forms)]
    binary = CATALOG.with_suffix(".mo")
    if "--check" in sys.argv:
        stale = CATALOG.read_text(encoding="utf-8") != written(merged)
        old = not binary.exists() or binary.read_bytes() != compiled(merged)
        for text in sorted(empty):
            print(f"no Spanish for: {text}")
        return int(bool(empty) or stale or old)
    CATALOG.parent.mkdir(parents=True, exist_ok=True)
    CATALOG.write_text(written(merged), encoding="utf-8")
    binary.write_bytes(compiled(merged))
    print(f"{len(merged)} texts, {len(empty)} without Spanish")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
