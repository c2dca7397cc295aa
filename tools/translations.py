"""Gather the texts that pages show, keep the list of each language complete, compile it.

    python tools/translations.py           add what is missing to each django.po, compile django.mo
    python tools/translations.py fr        the same, and begin French
    python tools/translations.py --check   exit 1 if anything is missing, stale or not compiled

A language is there once it has a list: it stands among the languages that a reader may choose, and
what has no words in it yet is shown in English. Spanish must be whole.
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
from django.utils.translation import to_language, to_locale

SOURCE = Path(__file__).parents[1] / "src" / "sourloam"
LOCALE = SOURCE / "web" / "locale"
CATALOG = LOCALE / "es" / "LC_MESSAGES" / "django.po"
WHOLE = ("es",)
ROOMS = ("web", "logbook", "ledger", "triage", "exchange", "programme")
CALLS = {"_", "gettext", "gettext_lazy", "gettext_noop"}
PLURALS = {"ngettext", "ngettext_lazy"}
HEADER = (
    "Language: {}\nMIME-Version: 1.0\nContent-Type: text/plain; charset=UTF-8\n"
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
    from sourloam.web.bran import lot_words
    from sourloam.web.vessel.foretold import sentences

    yield from sentences()
    yield from lot_words.sentences()
    yield from (kind.label for kind in KINDS.values())
    yield from (crop.replace("_", " ") for crop in garden.crop_names())


def languages() -> list[str]:
    """Codes of the languages that have a list."""
    found = LOCALE.glob("*/LC_MESSAGES/django.po")
    return sorted(to_language(path.parent.parent.name) for path in found)


def read(path: Path) -> dict[Key, tuple[str, ...]]:
    """The entries of a .po file as this tool writes it, without its header."""
    entries: dict[Key, tuple[str, ...]] = {}
    for parts in _blocks(path):
        if parts.get("msgid"):
            plural = parts.get("msgid_plural", "")
            names = [name for name in parts if name.startswith("msgstr[")] if plural else ["msgstr"]
            entries[parts["msgid"], plural] = tuple(parts.get(name, "") for name in sorted(names))
    return entries


def header(path: Path) -> str:
    """The header of a .po file, which holds its rule of plurals; a usual one for a new file."""
    first = next(iter(_blocks(path)), {})
    return first.get("msgstr", "") or HEADER.format(path.parent.parent.name)


def plurals(head: str) -> int:
    """How many plural forms the header promises."""
    found = re.search(r"nplurals=(\d)", head)
    return int(found[1]) if found else 2


def _blocks(path: Path) -> Iterator[dict[str, str]]:
    if path.exists():
        yield from map(_parts, path.read_text(encoding="utf-8").split("\n\n"))


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


def written(entries: dict[Key, tuple[str, ...]], head: str) -> str:
    """Text of the .po file."""
    blocks = ['msgid ""\nmsgstr ' + _quoted(head)]
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


def compiled(entries: dict[Key, tuple[str, ...]], head: str) -> bytes:
    """The .mo file: as the GNU format lays it out, sorted, without a hash table."""
    pairs = {b"": head.encode()}
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


def merged(path: Path, wanted: set[Key]) -> dict[Key, tuple[str, ...]]:
    """Every text wanted, with the words that the file has for it."""
    known, forms = read(path), plurals(header(path))
    counts = {key: forms if key[1] else 1 for key in wanted}
    return {key: (*known.get(key, ()), *([""] * n))[:n] for key, n in counts.items()}


def check(code: str, path: Path, wanted: set[Key]) -> bool:
    """Whether a language's files are as they should be; prints what a whole one lacks."""
    entries, head = merged(path, wanted), header(path)
    empty = sorted(key[0] for key, forms in entries.items() if not all(forms))
    for text in empty if code in WHOLE else ():
        print(f"no words in {code} for: {text}")
    binary = path.with_suffix(".mo")
    fresh = path.read_text(encoding="utf-8") == written(entries, head)
    fresh = fresh and binary.exists() and binary.read_bytes() == compiled(entries, head)
    if not fresh:
        print(f"{code}: not as gathered; run python tools/translations.py")
    return fresh and not (empty and code in WHOLE)


def update(code: str, path: Path, wanted: set[Key]) -> None:
    """Write both files of a language."""
    entries, head = merged(path, wanted), header(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(written(entries, head), encoding="utf-8")
    path.with_suffix(".mo").write_bytes(compiled(entries, head))
    empty = sum(not all(forms) for forms in entries.values())
    print(f"{code}: {len(entries)} texts, {empty} without words")


def main() -> int:
    """Update or check; 1 if the check finds something."""
    from django.conf.locale import LANG_INFO

    if not settings.configured:
        settings.configure(USE_I18N=True)
    asked = [code for code in sys.argv[1:] if code != "--check"]
    if strange := [code for code in asked if "name_local" not in LANG_INFO.get(code, {})]:
        print(f"{strange[0]}: no code of a language that Django knows, such as fr or pt-br")
        return 1
    wanted = gathered()
    paths = {
        code: LOCALE / to_locale(code) / "LC_MESSAGES" / "django.po"
        for code in sorted({*asked, *languages()})
    }
    if "--check" in sys.argv:
        stale = [code for code, path in paths.items() if not check(code, path, wanted)]
        return int(bool(stale))
    for code, path in paths.items():
        update(code, path, wanted)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
