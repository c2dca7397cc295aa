"""Photos: looked at by content, bounded, drawn anew without what the camera wrote beside."""

from __future__ import annotations

import hashlib
import io
import os
import secrets
import warnings
from pathlib import Path

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

from sourloam.logbook import unwritten
from sourloam.logbook.models import Photo
from sourloam.logbook.permissions import Person, must
from sourloam.logbook.refusals import Refused

MOST_BYTES, MOST_PIXELS, LONGEST = 12_000_000, 50_000_000, 2000
_SORTS = ("JPEG", "PNG", "WEBP")
_QUALITY = 85


def keep_photo(person: Person, place: str, file: UploadedFile[bytes]) -> str:
    """SHA-256 under which the photo is kept; Refused for a stranger or for what is no photo."""
    must(person, place, "send photo")
    if (file.size or 0) > MOST_BYTES:
        raise Refused(_("The photo is too large; 12 MB at most."), 413)
    drawn, width, height = drawn_anew(file.read(MOST_BYTES + 1))
    name = hashlib.sha256(drawn).hexdigest()
    try:
        write_file(path_of(name), drawn)
    except OSError as error:
        raise Refused(str(unwritten.SAID[unwritten.reason(error)]), 503) from None
    facts = {"size": len(drawn), "width": width, "height": height, "person_id": person.pk}
    Photo.objects.get_or_create(place_id=place, sha256=name, defaults=facts)
    return name


def path_of(name: str) -> Path:
    """Where a photo's bytes lie."""
    return Path(settings.PHOTOS) / name[:2] / f"{name}.jpg"


def photo_bytes(place: str, name: str) -> bytes | None:
    """The bytes of a photo of that place, None if it has none of that name."""
    named = name.isprintable()  # some stores refuse to look for what is not
    if not named or not Photo.objects.filter(place_id=place, sha256=name).exists():
        return None
    path = path_of(name)
    return path.read_bytes() if path.exists() else None


def drawn_anew(raw: bytes) -> tuple[bytes, int, int]:
    """A JPEG of the same picture, upright, at most 2000 pixels long, with its width and height.

    Nothing but the picture is carried over: no place, time, camera, thumbnail or comment.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # what a camera wrote beside is left out
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(raw), formats=_SORTS) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    raise Refused(_("The photo has too many pixels; 50 million at most."), 413)
                picture.draft("RGB", (LONGEST, LONGEST))  # large JPEGs are read small
                upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (
        *(OSError, ValueError, SyntaxError, UnidentifiedImageError, EOFError),
        *(Image.DecompressionBombWarning, Image.DecompressionBombError),
    ):
        raise Refused(_("That is no photo; send JPEG, PNG or WebP."), 422) from None
    upright.thumbnail((LONGEST, LONGEST))
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=_QUALITY)
    return out.getvalue(), bare.width, bare.height


def write_file(path: Path, content: bytes) -> None:
    """All of the file or nothing, on the disk before anybody is told."""
    if path.exists():
        return
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    half = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with open(half, "xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        half.replace(path)
    finally:
        half.unlink(missing_ok=True)
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
