"""One table: what Sourloam promises about the work kept in it, which tests hold it, how many tries,
how many failures.

``python tools/promises.py`` runs the tests that ``make test`` runs too; ``--all`` the slow ones
besides (some minutes), on PostgreSQL too where SOURLOAM_KILLS_DATABASE names an empty one;
``--nightly`` a hundred thousand inputs besides. Ends with 1 if a promise is broken or not tried.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
NIGHTLY = "20"


@dataclass(frozen=True)
class Promise:
    """What is promised, and the tests that hold it: files, or parts of the names of tests."""

    said: str
    where: tuple[str, ...]
    named: str = ""


PROMISES = (
    Promise(
        "No acknowledged entry is lost or doubled, by kills and by crowds",
        ("tests/logbook/test_kills.py", "tests/logbook/test_crowds.py"),
    ),
    Promise(
        "Nor on a full or closed disk, with a clock set back, with two servers",
        ("tests/logbook/test_worn_disks.py",),
    ),
    Promise(
        "Entries are written once, and a change from outside is found",
        ("tests/logbook/test_written_once.py", "tests/logbook/test_chain.py"),
    ),
    Promise(
        "Every commit is on the disk first", ("tests/logbook/test_settings.py",), "commit promise"
    ),
    Promise("A copy set up again is the same to the byte", ("tests/safekeeping/test_copies.py",)),
    Promise("Check and doctor find what is wrong", ("tests/safekeeping/test_checks.py",)),
    Promise("Folders of earlier versions open and say the same", ("tests/upgrades",)),
    Promise(
        "Whatever is read is taken or refused in one line", ("tests/fuzzing/test_anything_read.py",)
    ),
    Promise(
        "Whatever is sent gets an answer",
        ("tests/fuzzing/test_anything_sent.py", "tests/api/test_api_fuzzed.py"),
    ),
    Promise(
        "Bombs go off nowhere", ("tests/fuzzing/test_bombs.py", "tests/logbook/test_photos.py")
    ),
    Promise(
        "No text of a table is taken for a formula",
        ("tests/exchange/test_whole_place.py",),
        "formula",
    ),
    Promise(
        "Each role opens what its table says, and nothing else",
        (
            *("tests/web/test_every_address.py", "tests/logbook/test_permissions.py"),
            "tests/api/test_api_tokens.py",
        ),
        "person place role row table kinds undo strike stranger token scope",
    ),
    Promise(
        "No forged form, frame, script, path or way out of the house",
        ("tests/web/test_every_address.py",),
        "token framed script file path sent_out",
    ),
    Promise(
        "Sessions, passwords and secrets stay with their people",
        ("tests/web/test_every_address.py", "tests/logbook/test_signing_in.py"),
        "session cookie secret tries name headers",
    ),
)


def main():
    asked = _asked()
    done = _run(asked)
    rows = [(one, *_counted(one, done)) for one in PROMISES]
    width = max(len(one.said) for one in PROMISES)
    print(f"{'promise':{width}}  {'tests':>5}  {'tries':>7}  {'failures':>8}  where")
    for one, tests, tries, failures in rows:
        print(f"{one.said:{width}}  {tests:5}  {tries:7}  {failures:8}  {', '.join(one.where)}")
    broken = sum(failures for *_rest, failures in rows)
    idle = [one.said for one, tests, *_rest in rows if not tests]
    for said in idle:
        print(f"not tried: {said}")
    failed = [f"{file}: {name}" for file, name, _tries, wrong in done if wrong]
    for line in failed:
        print(f"failed: {line}")
    print(f"{sum(row[2] for row in rows)} tries, {max(broken, len(failed))} failures")
    sys.exit(1 if failed or idle else 0)


def _asked():
    reader = argparse.ArgumentParser(description="What is promised, tried.")
    reader.add_argument("--all", action="store_true", help="the slow tests too")
    reader.add_argument("--nightly", action="store_true", help="a hundred thousand inputs too")
    return reader.parse_args()


def _run(asked):
    """Each test that ran: file, name, tries, whether it failed."""
    files = sorted({where for one in PROMISES for where in one.where})
    marks = "" if asked.all or asked.nightly else "not slow"
    more = {"SOURLOAM_TRIES": NIGHTLY} if asked.nightly else {}
    with tempfile.TemporaryDirectory() as scratch:
        told = Path(scratch) / "told.xml"
        command = [sys.executable, "-m", "pytest", "-n", "0", "-m", marks, f"--junitxml={told}"]
        subprocess.run(
            [*command, "-o", "junit_family=xunit1", *files],
            cwd=ROOT, env=os.environ | more, stdout=sys.stderr, check=False,
        )  # fmt: skip
        return list(_told(told))


def _told(path):
    for case in ET.parse(path).getroot().iter("testcase"):
        if case.find("skipped") is not None:
            continue
        tries = case.find("properties/property[@name='tries']")
        failed = case.find("failure") is not None or case.find("error") is not None
        many = 1 if tries is None else int(tries.get("value"))
        yield case.get("file") or "", case.get("name") or "", many, failed


def _counted(one, done):
    mine = [
        (tries, failed)
        for file, name, tries, failed in done
        if any(file == where or file.startswith(f"{where}/") for where in one.where)
        and (not one.named or any(word in name for word in one.named.split()))
    ]
    return len(mine), sum(tries for tries, _ in mine), sum(failed for _, failed in mine)


if __name__ == "__main__":
    main()
