"""Photos are bounded, drawn anew, and tell nothing but what they show."""

import io
import struct
import zlib

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from sourloam.logbook import photos
from sourloam.logbook.models import Photo
from sourloam.logbook.refusals import Refused

pytestmark = pytest.mark.django_db
SECRET = "under the third flower pot"


def picture(size=(64, 48), form="JPEG", **more):
    out = io.BytesIO()
    image = Image.linear_gradient("L").resize(size).convert("RGB")
    image.save(out, form, **more)
    return out.getvalue()


def tagged(orientation=1):
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = orientation, SECRET  # orientation, description
    exif.get_ifd(0x8825)[2] = (53.0, 20.0, 30.0)  # latitude
    return picture((64, 32), exif=exif.tobytes(), comment=SECRET.encode())


def sent(content, name="photo.jpg"):
    return SimpleUploadedFile(name, content, content_type="image/jpeg")


def test_place_camera_and_comment_stay_behind(cast):
    raw = tagged()
    assert SECRET.encode() in raw
    name = photos.keep_photo(cast.gardener, cast.home.pk, sent(raw))
    kept = photos.photo_bytes(cast.home.pk, name)
    assert SECRET.encode() not in kept
    with Image.open(io.BytesIO(kept)) as image:
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_what_a_camera_held_sideways_is_upright(cast):
    content, width, height = photos.drawn_anew(tagged(orientation=6))
    assert (width, height) == (32, 64)
    with Image.open(io.BytesIO(content)) as image:
        assert image.size == (32, 64)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_usual_forms_are_taken_whatever_their_name_says(cast, form):
    name = photos.keep_photo(cast.keeper, cast.home.pk, sent(picture(form=form), "x.txt"))
    with Image.open(io.BytesIO(photos.photo_bytes(cast.home.pk, name))) as image:
        assert image.format == "JPEG"


def test_large_pictures_are_made_small():
    _content, width, height = photos.drawn_anew(picture((4000, 1000)))
    assert (width, height) == (2000, 500)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"GIF89a",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"<html><script>alert(1)</script></html>",
        picture(form="GIF"),
        picture()[:200],
        picture(form="PNG")[:60],
        picture(form="PNG")[:8] + b"\xff" * 500,
    ],
    ids=["empty", "stub", "drawing", "page", "other", "cut", "cut-png", "garbled"],
)
def test_what_is_no_photo_is_refused(cast, content):
    with pytest.raises(Refused) as refused:
        photos.keep_photo(cast.keeper, cast.home.pk, sent(content))
    assert refused.value.status == 422
    assert not Photo.objects.exists()


def hollow_png(width, height):
    """A small file that says it is huge."""

    def chunk(kind, body):
        crc = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + crc

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(8000, 8000), (40_000, 40_000), (2**31 - 1, 2**31 - 1)])
def test_a_small_file_that_says_it_is_huge_is_refused_before_it_is_drawn(cast, size):
    with pytest.raises(Refused) as refused:
        photos.keep_photo(cast.keeper, cast.home.pk, sent(hollow_png(*size)))
    assert refused.value.status in (413, 422)


def test_a_large_file_is_refused_before_it_is_read(cast):
    file = sent(b"\0" * (photos.MOST_BYTES + 1))
    with pytest.raises(Refused) as refused:
        photos.keep_photo(cast.keeper, cast.home.pk, file)
    assert refused.value.status == 413
    assert file.tell() == 0


def test_the_same_photo_again_is_one_photo(cast):
    names = {photos.keep_photo(cast.keeper, cast.home.pk, sent(picture())) for _ in range(2)}
    assert len(names) == 1
    assert Photo.objects.count() == 1


@pytest.mark.parametrize(("who", "status"), [("reader", 403), ("stranger", 404), ("gone", 404)])
def test_who_may_not_send_photos_is_refused(cast, who, status):
    with pytest.raises(Refused) as refused:
        photos.keep_photo(cast.people[who], cast.home.pk, sent(picture()))
    assert refused.value.status == status


def test_a_photo_is_found_in_its_place_only(cast):
    name = photos.keep_photo(cast.keeper, cast.home.pk, sent(picture()))
    assert photos.photo_bytes(cast.other.pk, name) is None
    assert photos.photo_bytes(cast.home.pk, "../../secret-key") is None


def test_no_half_written_file_is_left(cast):
    name = photos.keep_photo(cast.keeper, cast.home.pk, sent(picture()))
    folder = photos.path_of(name).parent
    assert [path.name for path in folder.iterdir() if path.name.startswith(".")] == []
