"""Settings of the logbook's server, all from a few environment variables.

SOURLOAM_DATA      the data folder; the user's own place for data if not given
SOURLOAM_DATABASE  postgresql://... instead of SQLite in the data folder
SOURLOAM_HOSTS     names by which the server is called, parted by commas
SOURLOAM_HTTPS     1 where people reach the server by https
SOURLOAM_BEHIND    1 where a server of yours passes requests on and tells the scheme
SOURLOAM_WORKERS   a Dask scheduler whose workers foresee (read by ``sourloam foresee`` alone)
SOURLOAM_STATIC    collected: style and script from the data folder, with lasting names

Importing this module makes no file.
"""

import os
import tempfile
from pathlib import Path
from typing import Any

from csp.constants import NONE, SELF

from sourloam.logbook import data_folder
from sourloam.logbook.databases import from_address, sqlite
from sourloam.logbook.languages import with_lists

FOLDER = data_folder.chosen()
SECRET_KEY = FOLDER.secret_key()
PHOTOS = FOLDER.photos
DEBUG = False

_HTTPS = os.environ.get("SOURLOAM_HTTPS") == "1"
_BEHIND = os.environ.get("SOURLOAM_BEHIND") == "1"
_DAY_S = 24 * 3600

ALLOWED_HOSTS = [
    *(h.strip() for h in os.environ.get("SOURLOAM_HOSTS", "").split(",") if h.strip()),
    *("localhost", "127.0.0.1", "[::1]"),
]
CSRF_TRUSTED_ORIGINS = [f"https://{name}" for name in ALLOWED_HOSTS] if _HTTPS else []

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "sourloam.logbook",
    "sourloam.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "sourloam.api.middleware.problems",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "sourloam.logbook.middleware.reader_language",
    "sourloam.logbook.middleware.first_start",
    "sourloam.web.views.faults.page_for_wrong_way",
    "sourloam.web.views.faults.PageForStore",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "sourloam.logbook.urls"
WSGI_APPLICATION = "sourloam.logbook.wsgi.application"
TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

_address = os.environ.get(data_folder.DATABASE, "")
DATABASES = {"default": from_address(_address) if _address else sqlite(FOLDER)}
if not _address:  # tests run on a file as the server does, not in memory
    DATABASES["default"]["TEST"] = {
        "NAME": str(Path(tempfile.gettempdir()) / f"sourloam-test-{os.getpid()}.sqlite3")
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# Signing in
LOGIN_URL = "web:enter"
LOGIN_REDIRECT_URL = "web:today"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
_CHECKS = "django.contrib.auth.password_validation"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"{_CHECKS}.UserAttributeSimilarityValidator"},
    {"NAME": f"{_CHECKS}.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": f"{_CHECKS}.CommonPasswordValidator"},
    {"NAME": f"{_CHECKS}.NumericPasswordValidator"},
]
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_VERBOSE = False

# Sessions, cookies, headers
SESSION_COOKIE_AGE = 90 * _DAY_S  # a phone in a shed should not ask each week
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = LANGUAGE_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "sourloam.web.views.faults.stale_form"
CSRF_COOKIE_HTTPONLY = False  # the queue in the phone reads it to send what waited
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = LANGUAGE_COOKIE_SECURE = _HTTPS
SECURE_SSL_REDIRECT = _HTTPS
SECURE_HSTS_SECONDS = 30 * _DAY_S if _HTTPS else 0
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
if _BEHIND:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
X_FRAME_OPTIONS = "DENY"
# Other servers under the same domain, and lists kept by browsers, are not ours to decide about.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],  # blob: a photo shrunk on the phone
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "object-src": [NONE],
    }
}
DATA_UPLOAD_MAX_MEMORY_SIZE = 4_000_000
FILE_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 500
DATA_UPLOAD_MAX_NUMBER_FILES = 4

# Languages and time: times are stored in UTC and shown in the place's zone
LANGUAGE_CODE = "en"
LANGUAGES = with_lists(Path(__file__).parents[1] / "web" / "locale")
LANGUAGE_COOKIE_AGE = 365 * _DAY_S
USE_I18N = USE_TZ = True
TIME_ZONE = "UTC"

# Style and script
STATIC_URL = "/static/"
_COLLECTED = os.environ.get("SOURLOAM_STATIC") == "collected"
STATIC_ROOT = FOLDER.static if _COLLECTED else None
_LASTING = "whitenoise.storage.CompressedManifestStaticFilesStorage"
_PLAIN = "django.contrib.staticfiles.storage.StaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": _LASTING if _COLLECTED else _PLAIN},
}
WHITENOISE_USE_FINDERS = not _COLLECTED
WHITENOISE_AUTOREFRESH = False

#: What the server calls once it listens, to have it ready before anybody asks.
EXPECTED = ("sourloam.web.expecting.expect_setup", "sourloam.web.expecting.expect_batch")

LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "filters": {"hushed": {"()": "sourloam.logbook.hushing.Hushed"}},
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": "line",
            "filters": ["hushed"],
        }
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {"axes": {"level": "ERROR"}, "waitress.queue": {"level": "ERROR"}},
}
