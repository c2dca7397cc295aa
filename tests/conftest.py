"""Being here puts this folder on the path, so that every room's tests can import `strategies`.

Photos and stores of tests go to a passing folder, never to a person's data. Passwords of tests
are hashed quickly; the test of the real way puts it back.
"""

from pathlib import Path

import passing


def pytest_configure():
    from django.conf import settings

    settings.PHOTOS = passing.folder("photos")
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    test = settings.DATABASES["default"].get("TEST", {})
    if "NAME" in test:
        test["NAME"] = passing.FOLDER / Path(test["NAME"]).name


def pytest_unconfigure():
    passing.forget()
