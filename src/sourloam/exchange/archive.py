"""A place as a zip: its tables and its photos; read within bounds, so that no bomb goes off."""

from __future__ import annotations

import hashlib
import io
import re
import struct
import zipfile
import zlib
from collections.abc import Callable
from typing import BinaryIO

from sourloam.exchange.bundle import Bundle
from sourloam.exchange.tables import PLACE, read_tables, tables
from sourloam.exchange.trouble import plain, refuse
from sourloam.ledger import KINDS
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.site.wording import shown

MOST_FILES = 20_000
MOST_TABLES_BYTES = 200_000_000
MOST_PHOTO_BYTES = 12_000_000
MOST_PHOTOS_BYTES = 4_000_000_000
_PHOTO = re.compile(r"photos/([0-9a-f]{64})\.jpg")
_TABLES = {PLACE, *(f"{kind}.csv" for kind in KINDS)}
_DAY = (1980, 1, 1, 0, 0, 0)  # the first that a zip can say: the same place is the same file
_DAMAGED = (
    *(zipfile.BadZipFile, zlib.error, struct.error, EOFError, RuntimeError),
    *(NotImplementedError, OSError, ValueError),
)


def write_archive(bundle: Bundle, out: BinaryIO) -> None:
    """Write the zip of a place: tables packed, photos as they are."""
    with zipfile.ZipFile(out, "w") as packed:
        for name, data in tables(bundle).items():
            packed.writestr(_info(name, zipfile.ZIP_DEFLATED), data)
        for name in sorted(bundle.photos):
            packed.writestr(_info(f"photos/{name}.jpg", zipfile.ZIP_STORED), bundle.photos[name]())


def _info(name: str, way: int) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _DAY)
    info.compress_type = way
    return info


def read_archive(data: bytes | BinaryIO) -> Bundle:
    """The place in a zip; ExchangeError for another, a damaged or an oversized one.

    Photos are read when they are asked for, each held against its name.
    """
    try:
        packed = zipfile.ZipFile(io.BytesIO(data) if isinstance(data, bytes) else data)
    except _DAMAGED:
        raise refuse(_("no zip that can be read; take it out of the logbook anew")) from None
    files, photos = _sorted_out(packed)
    left, read = MOST_TABLES_BYTES, {}
    for info in files:
        read[info.filename] = _bytes(packed, info, left)
        left -= len(read[info.filename])
    bundle = read_tables(read)
    return Bundle(bundle.place, bundle.entries, {n: _later(packed, i) for n, i in photos.items()})


def _sorted_out(
    packed: zipfile.ZipFile,
) -> tuple[list[zipfile.ZipInfo], dict[str, zipfile.ZipInfo]]:
    """Tables, and photos by name; what an unpacking system put beside them is passed over."""
    every = packed.infolist()  # a name may be empty: is_dir stumbles over that
    listed = [i for i in every if not i.filename.endswith("/") and not _beside(i.filename)]
    if len(listed) > MOST_FILES:
        many = _("the zip holds %(n)d files; %(most)d at most")
        raise refuse(many, n=len(listed), most=MOST_FILES)
    if len({info.filename for info in listed}) < len(listed):
        raise refuse(_("the zip holds two files of one name"))
    files = [info for info in listed if info.filename in _TABLES]
    found = {m[1]: info for info in listed if (m := _PHOTO.fullmatch(info.filename))}
    odd = [i for i in listed if i.filename not in _TABLES and not _PHOTO.fullmatch(i.filename)]
    if odd:
        stray = _("no file of a place; take it out of the zip")
        raise refuse(stray, plain(shown(odd[0].filename)))
    if sum(info.file_size for info in found.values()) > MOST_PHOTOS_BYTES:
        most = MOST_PHOTOS_BYTES // 1_000_000_000
        raise refuse(_("photos of more than %(most)d GB"), most=most)
    return files, found


def _beside(name: str) -> bool:
    return name.startswith("__MACOSX/") or name.rpartition("/")[2] in (".DS_Store", "Thumbs.db")


def _bytes(packed: zipfile.ZipFile, info: zipfile.ZipInfo, most: int) -> bytes:
    """What is in a file, unpacked no further than ``most`` bytes whatever the zip says of it."""
    try:
        with packed.open(info) as file:
            data = file.read(most + 1)
    except _DAMAGED:
        raise refuse(_("damaged; take it out of the logbook anew"), plain(info.filename)) from None
    if len(data) > most:
        raise refuse(_("too large once unpacked"), plain(info.filename))
    return data


def _later(packed: zipfile.ZipFile, info: zipfile.ZipInfo) -> Callable[[], bytes]:
    def photo() -> bytes:
        data = _bytes(packed, info, MOST_PHOTO_BYTES)
        if hashlib.sha256(data).hexdigest() not in info.filename:
            raise refuse(_("holds another picture than its name says"), plain(info.filename))
        return data

    return photo
