"""One table: what Sourloam promises about the work kept in it, which tests hold it, how many tries,
how many failures.

``python tools/promises.py`` runs the tests that ``make test`` runs too; ``--all`` the slow ones
besides (some minutes), on PostgreSQL too where SOURLOAM_KILLS_DATABASE names an empty one;
``--nightly`` a hundred thousand inputs besides. What came out is kept in .cache/promises test by
test: with ``--go-on`` one that was stopped goes on, and only what is not yet held is run.
``--only WORDS`` tries the promises that say so; ``--write`` puts the table into docs/operations.md.
Ends with 1 if a promise is broken or not tried.
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
PAGE = ROOT / "docs" / "operations.md"
BEGIN, END = "<!-- promises: made by tools/promises.py --write -->", "<!-- end of promises -->"
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
    Promise(
        "A copy is whole while people write, and set up again the same to the byte",
        (
            "tests/safekeeping/test_copies.py",
            "tests/safekeeping/test_copies_under_writing.py",
        ),
    ),
    Promise(
        "Check and doctor find what is wrong",
        ("tests/safekeeping/test_checks.py", "tests/safekeeping/test_examining.py"),
    ),
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
        self.found, self.left_out = set(), []
        self.held = {(one.file, one.name) for one in outcomes(path) if not one.failed}

    def pytest_collection_modifyitems(self, config, items):
        self.found = {parted(item.nodeid) for item in items}
        gone = [item for item in items if parted(item.nodeid) in self.held]
        items[:] = [item for item in items if parted(item.nodeid) not in self.held]
        config.hook.pytest_deselected(items=gone)

    def pytest_runtest_logreport(self, report):
        if report.skipped:
            self.left_out.append(f"{parted(report.nodeid)[1]}: {report.longrepr[2]}")
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


@dataclass(frozen=True)
class Row:
    """What came of one promise."""

    promise: Promise
    tests: int
    tries: int
    failures: int
    last: str


@dataclass(frozen=True)
class Run:
    """What the tests said, now or before; what was left out and why; whether it came to its end."""

    done: list[Outcome]
    left_out: list[str]
    whole: bool

    @property
    def tries(self):
        return sum(one.tries for one in self.done)

    @property
    def failed(self):
        return [f"{one.file}: {one.name}" for one in self.done if one.failed]


def main():
    asked = _asked()
    chosen = [one for one in PROMISES if asked.only.lower() in one.said.lower()]
    if not chosen:
        sys.exit(f"--only {asked.only}: no promise says so; say part of one of:\n{_all_said()}")
    run = _run(asked, list(dict.fromkeys(where for one in chosen for where in one.where)))
    rows = [_row(one, run.done) for one in chosen]
    idle = [row.promise.said for row in rows if not row.tests]
    _print(rows, run, idle)
    if asked.write:
        page = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(rewritten(page, rows, run), encoding="utf-8")
    sys.exit(1 if run.failed or idle or not run.whole else 0)


def _print(rows, run, idle):
    width = max(len(row.promise.said) for row in rows)
    print(f"{'promise':{width}}  {'tests':>5}  {'tries':>7}  {'failures':>8}  {'last':16}  where")
    for row in rows:
        where = ", ".join(row.promise.where)
        counted = f"{row.tests:5}  {row.tries:7}  {row.failures:8}  {row.last:16}"
        print(f"{row.promise.said:{width}}  {counted}  {where}")
    for said in idle:
        print(f"not tried: {said}")
    for line in run.left_out:
        print(f"left out: {line}")
    for line in run.failed:
        print(f"failed: {line}")
    print(f"{run.tries} tries, {len(run.failed)} failures")
    if not run.whole:
        print("it did not come to its end: --go-on goes on from here")


def rewritten(page, rows, run):
    """The page with its table replaced; ValueError if its marks are missing."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"{PAGE.name}: needs the marks {BEGIN} and {END}")
    lines = [
        *("| Promise | Tests | Tries | Failures | Last tried |", "|---|---|---|---|---|"),
        *(_told(row) for row in rows),
        f"| All, each test once | {len(run.done)} | {run.tries:,} | {len(run.failed)} | |",
    ]
    return f"{before}{BEGIN}\n\n" + "\n".join(lines) + f"\n\n{END}{after}"


def _told(row):
    return (
        f"| {row.promise.said} | {row.tests} | {row.tries:,} | {row.failures} "
        f"| {row.last or 'not tried'} |"
    )


def _asked():
    reader = argparse.ArgumentParser(description="What is promised, tried.")
    reader.add_argument("--all", action="store_true", help="the slow tests too")
    reader.add_argument("--nightly", action="store_true", help="a hundred thousand inputs too")
    reader.add_argument("--only", default="", metavar="WORDS", help="promises that say so")
    reader.add_argument("--go-on", action="store_true", help="leave out what is held already")
    reader.add_argument("--write", action="store_true", help="put the table into the docs")
    asked = reader.parse_args()
    if asked.write and asked.only:
        reader.error("--write puts in the whole table; leave out --only")
    return asked


def _all_said():
    return "\n".join(f"  {one.said}" for one in PROMISES)


def _run(asked, wheres):
    kind = "nightly" if asked.nightly else "all" if asked.all else "usual"
    path = KEPT / f"{kind}.jsonl"
    path.parent.mkdir(parents=True, exist_ok=True)
    if not asked.go_on:
        path.unlink(missing_ok=True)
    if asked.nightly:
        os.environ["SOURLOAM_TRIES"] = NIGHTLY
    os.chdir(ROOT)
    marks = "not slow" if kind == "usual" else ""
    keeper = Keeper(path)
    with _to_errors():
        code = pytest.main(["-n", "0", "-m", marks, *wheres], plugins=[keeper])
    done = [one for one in outcomes(path) if (one.file, one.name) in keeper.found]
    return Run(done, keeper.left_out, code in ENDS)


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


def _row(promise, done):
    mine = [
        one
        for one in done
        if _lies(one.file, promise.where)
        and (not promise.named or any(word in one.name for word in promise.named.split()))
    ]
    last = max((one.ended for one in mine), default="")
    return Row(promise, len(mine), sum(o.tries for o in mine), sum(o.failed for o in mine), last)


if __name__ == "__main__":
    main()
