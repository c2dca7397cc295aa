"""Fill a data folder with a furnished place, as a server would; for tests that need a real one."""

import sys
from io import BytesIO
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))


def main(folder):
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


if __name__ == "__main__":
    main(sys.argv[1])
