"""Fill a data folder with a furnished place, as a server would; for tests that need a real one."""

import sys
from io import BytesIO
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS), str(TESTS / "web"), str(TESTS / "logbook")]


def main(folder, every=""):
    from sourloam.logbook import serving
    from sourloam.logbook.data_folder import DataFolder

    serving.prepare(DataFolder(Path(folder)), static=False)
    from django.contrib.auth.models import User
    from django.core.files.uploadedfile import SimpleUploadedFile
    from house_of_tests import entry, furnish
    from PIL import Image

    from sourloam.logbook.people import make_place
    from sourloam.logbook.photos import keep_photo
    from sourloam.logbook.recording import record_entry

    person = User.objects.create_user("Zoë", password="a long word of hers")
    place = make_place(person, "Flat at Alder Row", "Europe/Dublin")

    def write(kind, body, days_ago=0.0, **more):
        raw = entry(place.pk, kind, body, days_ago, **more)
        done = record_entry(person, raw)
        assert done.stored, done.detail
        return raw["id"]

    furnish(place.pk, write)
    layer = {"vessel": "blue", "amount": {"mass_kg": 1.25}, "kinds": "household"}
    first = write("fed", layer, 0.5)
    write("fed", layer | {"amount": {"mass_kg": 0.1}}, 0.5, supersedes=first)
    write("noted", {"note": "«ñ» =1+1 😀"}, 0.1)
    raw = BytesIO()
    Image.new("RGB", (64, 48), (120, 60, 90)).save(raw, "JPEG")
    photo = SimpleUploadedFile("photo.jpg", raw.getvalue())
    name = keep_photo(person, place.pk, photo)
    write("photographed", {"vessel": "blue", "photo": name}, 0.1)
    if every:
        _one_of_each_kind(person, place.pk, name)


def _one_of_each_kind(person, place, photo):
    """Taken one by one; what a later state makes odd is kept all the same."""
    from house_of_tests import entry
    from logbook_bodies import BODIES

    from sourloam.ledger import KINDS
    from sourloam.logbook.recording import record_entry

    bodies = BODIES | {"photographed": {"vessel": "blue", "photo": photo}}
    for number, kind in enumerate(sorted(KINDS)):
        if kind in bodies:
            done = record_entry(person, entry(place, kind, bodies[kind], 0.09 - number / 1000))
            assert done.stored, done.detail


if __name__ == "__main__":
    main(*sys.argv[1:])
