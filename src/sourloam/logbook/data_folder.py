"""The one folder that holds everything a logbook must keep: database, photos, secret key."""

from __future__ import annotations

import os
import secrets
import sys
from dataclasses import dataclass
from pathlib import Path

DATA, DATABASE = "SOURLOAM_DATA", "SOURLOAM_DATABASE"
_KEY_BYTES = 64
_PRIVATE_FILE, _PRIVATE_FOLDER = 0o600, 0o700


class FolderError(Exception):
    """The folder can't serve; the message is one line: which, why, what would be right."""


class SettingError(FolderError):
    """The settings name no store that could keep a logbook."""


@dataclass(frozen=True)
class DataFolder:
    """Where things lie; nothing is made before ``prepare``."""

    path: Path

    @property
    def database(self) -> Path:
        """The SQLite file."""
        return self.path / "logbook.sqlite3"

    @property
    def photos(self) -> Path:
        """Photos by their SHA-256."""
        return self.path / "photos"

    @property
    def static(self) -> Path:
        """Style and script collected for serving; may be deleted at any time."""
        return self.path / "static"

    @property
    def key_file(self) -> Path:
        """What signs sessions; whoever reads it can sign in as anybody."""
        return self.path / "secret-key"

    def secret_key(self) -> str:
        """The key; a passing one, good for this process alone, where the folder has none yet."""
        try:
            key = self.key_file.read_text(encoding="ascii").strip()
        except NotADirectoryError:
            raise FolderError(
                f"{self.path}: is a file, or lies in one; name a folder with --data"
            ) from None
        except FileNotFoundError:
            return secrets.token_urlsafe(_KEY_BYTES)
        except (OSError, UnicodeDecodeError) as error:
            raise FolderError(
                f"{self.key_file}: can't be read ({_why(error)}); give it to the user who runs "
                f"sourloam"
            ) from None
        if len(key) < _KEY_BYTES:
            raise FolderError(f"{self.key_file}: too short for a key; delete it to get a new one")
        return key

    def prepare(self) -> None:
        """Make what is missing, for this user alone; FolderError where it can't be written."""
        try:
            self.path.mkdir(mode=_PRIVATE_FOLDER, parents=True, exist_ok=True)
            self.photos.mkdir(mode=_PRIVATE_FOLDER, exist_ok=True)
            self._make_key()
            trial = self.path / f".trial-{os.getpid()}"
            trial.touch()
            trial.unlink()
        except (FileExistsError, NotADirectoryError):
            raise FolderError(
                f"{self.path}: is a file, or lies in one; name a folder with --data"
            ) from None
        except OSError as error:
            raise FolderError(
                f"{self.path}: can't be written ({_why(error)}); choose a folder of your own "
                f"with --data"
            ) from None

    def _make_key(self) -> None:
        """Written whole, or not at all: a half key must not come into use."""
        if self.key_file.exists():
            return
        draft = self.path / f".secret-key-{os.getpid()}"
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _PRIVATE_FILE)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(_KEY_BYTES))
            file.flush()
            os.fsync(file.fileno())
        os.replace(draft, self.key_file)


def chosen() -> DataFolder:
    """The folder named by SOURLOAM_DATA, else the user's own place for such things."""
    named = os.environ.get(DATA)
    return DataFolder(Path(named).expanduser().absolute() if named else usual())


def usual() -> Path:
    """Where the system keeps a user's data."""
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local")) / "Sourloam"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "Sourloam"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "sourloam"


def _why(error: Exception) -> str:
    return (getattr(error, "strerror", None) or type(error).__name__).lower()
