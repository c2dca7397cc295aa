"""One table: what Sourloam promises about the work kept in it, which tests hold it, how many tries,
how many failures.

``python tools/promises.py`` runs the tests that ``make test`` runs too; ``--all`` the slow ones
besides (some minutes), on PostgreSQL too where SOURLOAM_KILLS_DATABASE names an empty one;
``--nightly`` a hundred thousand inputs besides. What came out is kept in .cache/promises test by
test: with ``--go-on`` one that was stopped goes on, and only what is not yet held is run.
``--only WORDS`` tries the promises that say so. Ends with 1 if a promise is broken or not tried.
"""

import argparse
import contextlib
import json
import os
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
KEPT = ROOT / ".cache" / "promises"
NIGHTLY = "20"
ENDS = {pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.NO_TESTS_COLLECTED}


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
        (
            *("tests/logbook/test_worn_disks.py", "tests/logbook/test_real_disks.py"),
            "tests/safekeeping/test_small_disks.py",
        ),
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
            *("tests/api/test_every_operation.py", "tests/api/test_api_tokens.py"),
        ),
        "watched person place role row table kinds undo strike stranger token scope",
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


@dataclass(frozen=True)
class Outcome:
    """How one test ended, as a line of the kept file."""

    file: str
    name: str
    tries: int
    failed: bool
    ended: str


class Keeper:
    """Watches a run of tests: leaves out those that were held, keeps each as it ends."""

    def __init__(self, path):
        self.path = path
        self.held = {(one.file, one.name) for one in outcomes(path) if not one.failed}

    def pytest_collection_modifyitems(self, config, items):
        gone = [item for item in items if parted(item.nodeid) in self.held]
        items[:] = [item for item in items if parted(item.nodeid) not in self.held]
        config.hook.pytest_deselected(items=gone)

    def pytest_runtest_logreport(self, report):
        if report.skipped or (report.when != "call" and not report.failed):
            return
        tries = int(dict(report.user_properties).get("tries", 1))
        ended = datetime.now().isoformat(" ", "minutes")
        told = Outcome(*parted(report.nodeid), tries, report.failed, ended)
        with self.path.open("a", encoding="utf-8") as kept:
            kept.write(json.dumps(vars(told)) + "\n")


def parted(nodeid):
    file, _, name = nodeid.partition("::")
    return file, name


def outcomes(path):
    """The last outcome of each test."""
    lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    last = {}
    for one in (Outcome(**json.loads(line)) for line in lines):
        last[one.file, one.name] = one
    return list(last.values())


def main():
    asked = _asked()
    chosen = [one for one in PROMISES if asked.only.lower() in one.said.lower()]
    if not chosen:
        sys.exit(f"--only {asked.only}: no promise says so; say part of one of:\n{_all_said()}")
    done, whole = _run(asked, list(dict.fromkeys(where for one in chosen for where in one.where)))
    rows = [(one, *_counted(one, done)) for one in chosen]
    width = max(len(one.said) for one in chosen)
    print(f"{'promise':{width}}  {'tests':>5}  {'tries':>7}  {'failures':>8}  {'last':16}  where")
    for one, tests, tries, failures, last in rows:
        where = ", ".join(one.where)
        print(f"{one.said:{width}}  {tests:5}  {tries:7}  {failures:8}  {last:16}  {where}")
    failed = [f"{one.file}: {one.name}" for one in done if one.failed]
    idle = [one.said for one, tests, *_rest in rows if not tests]
    for said in idle:
        print(f"not tried: {said}")
    for line in failed:
        print(f"failed: {line}")
    print(f"{sum(one.tries for one in done)} tries, {len(failed)} failures")
    if not whole:
        print("it did not come to its end: --go-on goes on from here")
    sys.exit(1 if failed or idle or not whole else 0)


def _asked():
    reader = argparse.ArgumentParser(description="What is promised, tried.")
    reader.add_argument("--all", action="store_true", help="the slow tests too")
    reader.add_argument("--nightly", action="store_true", help="a hundred thousand inputs too")
    reader.add_argument("--only", default="", metavar="WORDS", help="promises that say so")
    reader.add_argument("--go-on", action="store_true", help="leave out what is held already")
    return reader.parse_args()


def _all_said():
    return "\n".join(f"  {one.said}" for one in PROMISES)


def _run(asked, wheres):
    """How each test of these files ended, now or before, and whether the run came to its end."""
    kind = "nightly" if asked.nightly else "all" if asked.all else "usual"
    path = KEPT / f"{kind}.jsonl"
    path.parent.mkdir(parents=True, exist_ok=True)
    if not asked.go_on:
        path.unlink(missing_ok=True)
    if asked.nightly:
        os.environ["SOURLOAM_TRIES"] = NIGHTLY
    os.chdir(ROOT)
    marks = "not slow" if kind == "usual" else ""
    with _to_errors():
        code = pytest.main(["-n", "0", "-m", marks, *wheres], plugins=[Keeper(path)])
    return [one for one in outcomes(path) if _lies(one.file, wheres)], code in ENDS


@contextlib.contextmanager
def _to_errors():
    """The table alone goes to the output."""
    sys.stdout.flush()
    kept = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        sys.stdout.flush()
        os.dup2(kept, 1)
        os.close(kept)


def _lies(file, wheres):
    return any(file == where or file.startswith(f"{where}/") for where in wheres)


def _counted(promise, done):
    mine = [
        one
        for one in done
        if _lies(one.file, promise.where)
        and (not promise.named or any(word in one.name for word in promise.named.split()))
    ]
    last = max((one.ended for one in mine), default="")
    return len(mine), sum(o.tries for o in mine), sum(o.failed for o in mine), last


if __name__ == "__main__":
    main()
