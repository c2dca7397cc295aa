"""Small inputs that would grow large: refused soon, within bounds of time and memory."""

import io
import json
import resource
import struct
import time
import zipfile
import zlib

import pytest
from fuzz_targets import (
    backup,
    entry,
    manifest,
    photo,
    place_json,
    place_table,
    place_zip,
    site_file,
    weather,
    weighing_sheet,
)

LONGEST_S, MOST_KB = 10, 400_000


def png(width, height):
    """A few bytes that say they are a picture of that size, all black."""

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(
            ">I", zlib.crc32(name + data)
        )  # fmt: skip

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(bytes(1000), 9))
        + chunk(b"IEND", b"")
    )


def zipped(name, size):
    made = io.BytesIO()
    with (
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed,
        packed.open(name, "w", force_zip64=True) as file,
    ):
        for _ in range(size // 1_000_000):
            file.write(bytes(1_000_000))
    return made.getvalue()


def deep(depth):
    return b"[" * depth + b"]" * depth


def deep_entry(depth):
    inner = '{"a":' * depth + "1" + "}" * depth
    return f'{{"id":1,"place":"a","kind":"fed","at":"x","written_at":"x","body":{inner}}}'.encode()


BOMBS = {
    "a sheet of a million rows": (
        weighing_sheet, lambda: b"date;vessel;kg\n" + b"2026-05-01;Blue pail;1\n" * 1_000_000,
    ),
    "a table of a million rows": (place_table, lambda: b"id,at\n" + b"1,2\n" * 1_000_000),
    "weather of a million days": (
        weather, lambda: b"date,tmin_c,tmax_c\n" + b"2024-01-01,1,2\n" * 1_000_000,
    ),
    "a row of a million cells": (weighing_sheet, lambda: b"date;vessel;kg\n" + b";" * 1_000_000),
    "a cell of ten million letters": (
        weighing_sheet, lambda: b'date;vessel;kg\n"' + b"x" * 10_000_000 + b'";a;1\n',
    ),
    "a quote that never ends": (weighing_sheet, lambda: b'date;vessel;kg\n"' + b"a\n" * 500_000),
    "json nested deep": (place_json, lambda: deep(200_000)),
    "an entry nested deep": (entry, lambda: deep_entry(900)),
    "a manifest nested deep": (manifest, lambda: deep(200_000)),
    "a number of a million digits": (place_json, lambda: b'{"version":' + b"9" * 1_000_000 + b"}"),
    "a place of a million entries": (place_json, lambda: b"[" + b"{}," * 1_000_000 + b"{}]"),
    "a zip of zeros": (place_zip, lambda: zipped("fed.csv", 210_000_000)),
    "a copy of zeros": (backup, lambda: zipped("manifest.json", 100_000_000)),
    "a picture of a thousand million dots": (photo, lambda: png(50_000, 20_000)),
    "a picture of 2**31 dots a side": (photo, lambda: png(2**31 - 1, 2**31 - 1)),
    "a site file of brackets": (site_file, lambda: b"a = " + b"[" * 100_000),
    "a site file of dots": (site_file, lambda: b"a" + b".a" * 400_000 + b" = 1"),
    "a site file of one long line": (site_file, lambda: b'a = "' + b"x" * 900_000 + b'"'),
    "a site file of very many keys": (
        site_file, lambda: b"".join(b"k%d = 1\n" % n for n in range(60_000)),
    ),
}  # fmt: skip


LONG = {"a table of a million rows", "a zip of zeros"}


@pytest.mark.parametrize(
    "name", [pytest.param(one, marks=pytest.mark.slow if one in LONG else ()) for one in BOMBS]
)
def test_a_bomb_is_refused_soon_and_within_bounds(name):
    target, made = BOMBS[name]
    data = made()
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    begun = time.process_time()
    line = target(data)
    assert line, "it was taken"
    assert time.process_time() - begun < LONGEST_S
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < MOST_KB


def test_a_queue_nested_deep_is_refused(home, as_):
    answer = as_("coordinator").post("/api/entries", deep(100_000), content_type="application/json")
    assert answer.status_code == 422
    assert json.loads(answer.content)["status"] == 422
