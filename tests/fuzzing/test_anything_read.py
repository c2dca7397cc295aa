"""Whatever is read is taken, or refused in one line: never a traceback, never for long."""

import io
import time
import zipfile

import pytest
from breaking import LONGEST_S, inputs, tried
from fuzz_seeds import sound
from fuzz_targets import TARGETS, photo, place_json, place_zip

LONGEST_LINE = 4000


def checked(target):
    def check(data):
        begun = time.process_time()
        line = target(data)
        assert time.process_time() - begun < LONGEST_S
        assert "Traceback" not in line
        assert len(line) < LONGEST_LINE

    return check


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.__name__)
def test_what_is_sound_is_taken(target):
    for data in sound(target.__name__):
        assert target(data) == ""


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.__name__)
def test_whatever_comes_is_taken_or_refused_in_one_line(target, record_property):
    strategy = inputs(target.__name__, sound(target.__name__))
    record_property("tries", tried(strategy, checked(target), TARGETS[target]))


def test_five_thousand_inputs_are_tried():
    assert sum(TARGETS.values()) >= 5000


def nameless_zip():
    """A zip whose list names its one file with nothing."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        packed.writestr("a", b"x")
    data = bytearray(made.getvalue())
    listed, end = data.index(b"PK\x01\x02"), data.index(b"PK\x05\x06")
    data[end + 12] -= 1  # the list is shorter by a letter
    data[listed + 28] = 0
    del data[listed + 46]
    return bytes(data)


#: What once broke a reader, so that it never does again.
FOUND = {
    "a file without a name in a zip": (place_zip, nameless_zip),
    "a zip that says it begins before its beginning": (
        place_zip,
        lambda: sound("place_zip")[0][:6] + sound("place_zip")[0][7:],
    ),
    "a number of many digits": (place_json, lambda: b'{"version":' + b"9" * 5000 + b"}"),
}


@pytest.mark.parametrize("name", FOUND)
def test_what_once_broke_a_reader_is_refused(name):
    target, made = FOUND[name]
    assert target(made()) != ""


def test_a_photo_beside_which_a_camera_wrote_nonsense_is_taken():
    told = [one for one in sound("photo") if b"MM\x00*" in one and one[:2] == b"\xff\xd8"]
    assert told
    assert {photo(one.replace(b"MM\x00*", b"MM\x00*NaN")) for one in told} == {""}
