"""Coverage-guided fuzzing of everything that reads what somebody else wrote.

``python tools/fuzz.py TARGET [--runs N]``: inputs that reach code that none reached before are kept
and bent further. Without a target it names them all; ``all`` goes through them one by one. Needs
what requirements/fuzz.txt locks (Linux, Python 3.11 to 3.13). Ends at the first fault with its
trace, and writes the input that made it into .cache/fuzz/.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
KEPT = ROOT / ".cache" / "fuzz"
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "fuzzing")]
os.environ.setdefault("SOURLOAM_DATA", tempfile.mkdtemp(prefix="sourloam-fuzz-"))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")
RUNS, LONGEST = 20_000, 20_000  # inputs a target; bytes an input


def main():
    asked = _asked()
    import atheris

    with atheris.instrument_imports(include=["sourloam"], enable_loader_override=False):
        import django

        django.setup()
        import fuzz_targets

        targets = {target.__name__: target for target in fuzz_targets.TARGETS}
        if asked.target in targets:  # what it loads late is to be watched too
            sound = fuzz_targets.sound(asked.target)
            for data in sound:
                targets[asked.target](data)
    if asked.target == "all":
        sys.exit(max(_apart(name, asked.runs) for name in targets))
    if asked.target not in targets:
        sys.exit(f"choose from {', '.join(targets)}, all")

    def one(data):
        targets[asked.target](data)

    seeds = _seeds(asked.target, sound)
    KEPT.mkdir(parents=True, exist_ok=True)
    limits = [f"-runs={asked.runs}", f"-max_len={LONGEST}", "-timeout=10", "-rss_limit_mb=2000"]
    prefix = f"-artifact_prefix={KEPT}/{asked.target}-"
    atheris.Setup([sys.argv[0], *limits, prefix, str(seeds)], one)
    atheris.Fuzz()


def _asked():
    reader = argparse.ArgumentParser(description="Fuzz one target, or all.")
    reader.add_argument("target", nargs="?", default="")
    reader.add_argument("--runs", type=int, default=RUNS, help=f"inputs a target; {RUNS}")
    return reader.parse_args()


def _apart(name, runs):
    """Each target in a process of its own: the fuzzer ends its process."""
    done = subprocess.run([sys.executable, __file__, name, "--runs", str(runs)], check=False)
    print(f"{name}: {runs} inputs, {'a fault' if done.returncode else 'no fault'}")
    return done.returncode


def _seeds(name, sound):
    """Sound inputs and those of earlier nights, in a folder that grows."""
    folder = KEPT / "seeds" / name
    folder.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(sound):
        (folder / f"sound-{number}").write_bytes(data)
    return folder


if __name__ == "__main__":
    main()
