"""A real disk that fills up, or is shut, under a running server; skipped where none is mounted."""

import contextlib
import io
import json
import os
import signal
import uuid

import pytest
from kill_series import plain
from logbook_cast import fed
from logbook_phone import Phone, Servers, stored, unbroken
from PIL import Image

import mounted

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif("SOURLOAM_DATABASE" in os.environ, reason="a disk of SQLite"),
]
ROOM_MB = 40


@pytest.fixture
def disk(tmp_path):
    with mounted.disk(tmp_path, ROOM_MB) as made:
        yield made


@contextlib.contextmanager
def served(data):
    """A running server on that folder: its somebody, and a phone."""
    with contextlib.closing(Servers(data, pages=True)) as servers:
        server = servers.start()
        phone = Phone(server["address"], servers.somebody)
        try:
            yield servers.somebody, phone
        finally:
            phone.close()
            os.kill(server["pid"], signal.SIGTERM)


def asked(phone, path, body=None, sort="application/x-www-form-urlencoded"):
    """Status and text of an answer; a form is sent where there is a body."""
    headers = phone.headers | {"Content-Type": sort}
    phone.connection.request("GET" if body is None else "POST", path, body, headers)
    answer = phone.connection.getresponse()
    return answer.status, answer.read().decode("utf-8", "replace")


def sent_photo(phone, place, shade):
    drawn = io.BytesIO()
    Image.effect_noise((300, 300), shade).save(drawn, "PNG")
    edge = uuid.uuid4().hex
    part = f'--{edge}\r\nContent-Disposition: form-data; name="{{}}"{{}}\r\n\r\n'
    body = part.format("place", "").encode() + f"{place}\r\n".encode()
    body += part.format("file", '; filename="a.png"').encode() + drawn.getvalue()
    body += f"\r\n--{edge}--\r\n".encode()
    return asked(phone, "/api/photos", body, f"multipart/form-data; boundary={edge}")


def pages_of(place):
    """Those that are only read."""
    inside = ("", "v/blue", "beds", "stores", "people", "exchange/out.zip", "exchange/out.json")
    return ["/", *(f"/p/{place}/{page}" for page in inside)]


def refused(phone, place, why):
    """Each way of writing is refused in one line, and each page is still read; how many tries."""
    entry = fed(place)
    assert phone.send(entry) == 503
    assert any(word in json.loads(phone.said)["detail"] for word in why)
    status, said = sent_photo(phone, place, 60)
    assert (status, "nothing was written down" in said) == (503, True)
    for path, form in (
        (f"/p/{place}/people/invite", "role=reader"),
        ("/enter", "username=Ana&password=a+short+sentence"),
    ):
        status, said = asked(phone, path, form)
        assert (status, "nothing was written down" in said) == (503, True), path
        assert "Traceback" not in said
    for page in pages_of(place):
        assert asked(phone, page)[0] == 200, page
    return entry, 4 + len(pages_of(place))


def test_a_disk_that_fills_up_while_people_write_and_has_room_again(disk, record_property):
    data = disk.path / "data"
    with served(data) as (somebody, phone):
        place = somebody["place"]
        kept = [fed(place) for _ in range(3)]
        assert [phone.send(entry) for entry in kept] == [201] * 3
        disk.fill()
        entry, tries = refused(phone, place, ["disk is full:"])
        assert not list((data / "photos").rglob("*.part"))
        disk.make_room()
        assert [phone.send(entry), phone.send(entry)] == [201, 200]
        assert sent_photo(phone, place, 60)[0] == 201
        assert asked(phone, f"/p/{place}/people/invite", "role=reader")[0] < 400
    names = [plain(row[0]) for row in stored(data)]
    assert names[-4:] == [plain(one["id"]) for one in (*kept, entry)]
    assert unbroken(stored(data))
    record_property("tries", tries)


def test_a_disk_that_is_shut_while_people_write_and_is_opened_again(disk, record_property):
    data = disk.path / "data"
    with served(data) as (somebody, phone):
        place = somebody["place"]
        kept = fed(place)
        assert phone.send(kept) == 201
        disk.shut()
        entry, tries = refused(phone, place, ["broken", "may not be written"])
    disk.open_again()
    with served(data) as (_, phone):
        assert [phone.send(entry), phone.send(entry)] == [201, 200]
        assert sent_photo(phone, place, 60)[0] == 201
    names = [plain(row[0]) for row in stored(data)]
    assert names[-2:] == [plain(one["id"]) for one in (kept, entry)]
    assert unbroken(stored(data))
    record_property("tries", tries)
