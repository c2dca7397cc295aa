"""Keeps a small data folder of this version, so that later ones can show that they still open it.

Run once before a version is tagged: it writes tests/upgrades/VERSION/. A folder that is there is
never written anew: it is what that version wrote.
"""

import json
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

from sourloam import __version__

ROOT = Path(__file__).parents[1]
TESTS = ROOT / "tests"
FILES = ("logbook.sqlite3", "photos")


def main():
    target = TESTS / "upgrades" / __version__
    if (target / "folder.zip").exists():
        sys.exit(f"{target}: kept already")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "data"
        _run(TESTS / "safekeeping" / "kept_folder.py", folder, "every")
        states = json.loads(_run(TESTS / "upgrades" / "plain_states.py", folder))
        assert states["faults"] == [], states["faults"]
        target.mkdir(parents=True, exist_ok=True)
        _pack(folder, target / "folder.zip")
    text = json.dumps(states, indent=1, ensure_ascii=False, sort_keys=True)
    (target / "states.json").write_text(text + "\n", encoding="utf-8")
    print(f"{target}: kept")


def _run(script, *arguments):
    done = subprocess.run(
        [sys.executable, str(script), *map(str, arguments)], stdout=subprocess.PIPE, text=True
    )
    if done.returncode:
        sys.exit(f"{script.name}: failed; its own words stand above")
    return done.stdout


def _pack(folder, target):
    """The database in one file, with nothing left beside it, and the photos; no key."""
    import sqlite3

    database = sqlite3.connect(folder / "logbook.sqlite3")
    database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    database.execute("PRAGMA journal_mode=DELETE")
    database.execute("VACUUM")
    database.close()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        for name in FILES:
            top = folder / name
            for path in sorted(top.rglob("*")) if top.is_dir() else [top]:
                if path.is_file():
                    packed.write(path, path.relative_to(folder))


if __name__ == "__main__":
    main()
