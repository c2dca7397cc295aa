"""Being here puts this folder on the path, so that every room's tests can import `strategies`.

Photos and stores of tests go to a passing folder, never to a person's data. Passwords of tests
are hashed quickly; the test of the real way puts it back.
"""

import os
from pathlib import Path

import passing

# Before anything computes: two workers with threads of linear algebra each would wait for cores.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def pytest_configure():
    from django.conf import settings

    settings.PHOTOS = passing.folder("photos")
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    test = settings.DATABASES["default"].get("TEST", {})
    if test.get("NAME"):  # PostgreSQL makes up its own
        test["NAME"] = passing.FOLDER / Path(test["NAME"]).name


def pytest_ignore_collect(collection_path, config):
    """A file of slow tests alone is not even read where none of them is wanted."""
    if config.option.markexpr != "not slow" or collection_path.suffix != ".py":
        return None
    return "\npytestmark = pytest.mark.slow\n" in collection_path.read_text("utf-8") or None


def pytest_unconfigure():
    passing.forget()
