"""Being here puts this folder on the path, so that every room's tests can import `strategies`.

Photos that tests send go to a folder of their own, never to a person's data. Passwords of tests
are hashed quickly; the test of the real way puts it back.
"""

import tempfile


def pytest_configure():
    from django.conf import settings

    settings.PHOTOS = tempfile.mkdtemp(prefix="sourloam-test-photos-")
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
