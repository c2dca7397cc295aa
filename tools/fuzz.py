"""Coverage-guided fuzzing of everything that reads what somebody else wrote.

``python tools/fuzz.py TARGET [--runs N] [--seconds S]``: inputs that reach code that none reached
before are kept and bent further, with the words that the reader looks for. Without a target it
names them all; ``all`` goes through them one by one. Needs what requirements/fuzz.txt locks (Linux,
Python 3.11 to 3.13). Prints a table: inputs, code reached by the sound inputs and at the end,
inputs kept, faults. A fault ends its target: its trace is shown, its input kept in .cache/fuzz/.
"""

import argparse
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
KEPT = ROOT / ".cache" / "fuzz"
ROOMS = [str(ROOT / "tests" / room) for room in (".", "fuzzing", "logbook")]
RUNS, SECONDS = 20_000, 120  # inputs a target, and how long at most
LONGEST = 20_000  # bytes an input
INSIDE = "SOURLOAM_FUZZ_TARGET"
STEP = re.compile(r"^#(\d+)\s+(\w+)\s+cov: (\d+) ft: \d+ corp: (\d+)/", re.MULTILINE)


def main():
    sys.path[:0] = ROOMS
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")
    asked = _asked()
    if os.environ.get(INSIDE) == asked.target:
        _fuzz(asked)
    names = _names()
    if asked.target not in (*names, "all"):
        sys.exit(f"choose from {', '.join(names)}, all")
    print(f"{'reader':16}{'inputs':>8}{'reached':>9}{'then':>7}{'kept':>6}  faults", flush=True)
    chosen = names if asked.target == "all" else [asked.target]
    sys.exit(max([_apart(name, asked) for name in chosen]))


def _asked():
    reader = argparse.ArgumentParser(description="Fuzz one target, or all.")
    reader.add_argument("target", nargs="?", default="")
    reader.add_argument("--runs", type=int, default=RUNS, help=f"inputs a target; {RUNS}")
    reader.add_argument("--seconds", type=int, default=SECONDS, help=f"at most; {SECONDS}")
    return reader.parse_args()


def _names():
    text = (ROOT / "tests" / "fuzzing" / "fuzz_targets.py").read_text(encoding="utf-8")
    return re.findall(r"^    (\w+): \d+,$", text, re.MULTILINE)


def _apart(name, asked):
    """A target in a process and on a data folder of its own: the fuzzer ends its process."""
    limits = ["--runs", str(asked.runs), "--seconds", str(asked.seconds)]
    with tempfile.TemporaryDirectory(prefix="sourloam-fuzz-") as data:
        done = subprocess.run(
            [sys.executable, __file__, name, *limits],
            env=os.environ | {INSIDE: name, "SOURLOAM_DATA": data},
            stderr=subprocess.PIPE, text=True, errors="replace", check=False,
        )  # fmt: skip
    steps = STEP.findall(done.stderr)
    first = next((int(cov) for _, what, cov, _ in steps if what == "INITED"), 0)
    many, _, last, kept = steps[-1] if steps else (0, "", 0, 0)
    fault = done.returncode != 0 or not steps
    print(f"{name:16}{many:>8}{first:>9}{last:>7}{kept:>6}  {int(fault)}", flush=True)
    if fault:
        print(done.stderr[-4000:], file=sys.stderr)
    return int(fault)


def _fuzz(asked):
    import atheris

    with atheris.instrument_imports(include=["sourloam"], enable_loader_override=False):
        import django

        django.setup()
        import fuzz_seeds
        import fuzz_targets

        target = getattr(fuzz_targets, asked.target)
        for data in fuzz_seeds.sound(asked.target):
            target(data)  # what it loads late is to be watched too

    def one(data):
        target(data)

    seeds = _seeds(asked.target, fuzz_seeds.sound(asked.target))
    known = KEPT / f"{asked.target}.dict"
    known.write_text("".join(map(_line, fuzz_seeds.words(asked.target))), encoding="ascii")
    limits = [f"-runs={asked.runs}", f"-max_total_time={asked.seconds}", f"-max_len={LONGEST}"]
    guards = ["-timeout=10", "-rss_limit_mb=2000", f"-artifact_prefix={KEPT}/{asked.target}-"]
    atheris.Setup([sys.argv[0], *limits, *guards, f"-dict={known}", str(seeds)], one)
    atheris.Fuzz()


def _line(word):
    shown = "".join(chr(b) if chr(b).isalnum() and b < 128 else f"\\x{b:02x}" for b in word)
    return f'"{shown}"\n'


def _seeds(name, sound):
    """Sound inputs and those of earlier nights, in a folder that grows."""
    folder = KEPT / "seeds" / name
    folder.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(sound):
        (folder / f"sound-{number}").write_bytes(data)
    return folder


if __name__ == "__main__":
    main()
