"""Whether a test fails by chance: the quick half again and again, each time in another order and with other seeds.

Each run draws one number, from which come the order of files and tests, what hypothesis tries, and Python's hashes.
A line a run is added to a file, with the number and what failed, so that thirty runs can be made in pieces and a
failure can be met again. Few draws of own numbers are tried for each exercise: they are the same in every run.

Run it: ``python -m tests.benchmarks.flakes 30 --to FILE``.
"""

import argparse
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
FAILED = re.compile(r"^(?:FAILED|ERROR) (\S.*?)(?: - .*)?$", re.MULTILINE)
SUM = re.compile(r"^.*\b(?:passed|failed|error)\b.* in [\d.]+s.*$", re.MULTILINE)


def run(number: int, processes: int, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run the quick half in the order, and with the seeds, of this number."""
    command = [
        *(sys.executable, "-m", "pytest", "-n", str(processes), "-m", "not slow and not browser"),
        *("-p", "tests.any_order", "--any-order", str(number), f"--hypothesis-seed={number}"),
        f"--basetemp={folder}",
    ]
    around = os.environ | {"PYTHONHASHSEED": str(number), "REWORK_VARIANTS": "5", "OPENBLAS_NUM_THREADS": "1"}
    around.pop("PYTHONDONTWRITEBYTECODE", None)  # else every process compiles all packages again
    return subprocess.run(command, cwd=ROOT, env=around, capture_output=True, text=True, errors="replace")


def line(number: int, seconds: float, said: str) -> str:
    """Return what is kept of a run: its number, how long it took beside what load, pytest's own sum, what failed."""
    sums, failed = SUM.findall(said), sorted(set(FAILED.findall(said)))
    told = sums[-1].strip("= ") if sums else "ended without a sum: " + " ".join(said.split()[-20:])
    return f"{number}: {seconds:.0f} s, load {os.getloadavg()[1]:.1f}, {told}" + "".join(f"; {one}" for one in failed)


def main() -> None:
    """Make the runs, each told and kept as it ends; where one fails, all that it printed is kept beside the lines."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("runs", type=int)
    parser.add_argument("--to", type=Path, required=True, help="the file that keeps a line a run")
    parser.add_argument("--processes", type=int, default=(os.cpu_count() or 1) * 3 // 2)
    asked = parser.parse_args()
    for _ in range(asked.runs):
        number, start = random.SystemRandom().randrange(1, 2**32), time.monotonic()
        with tempfile.TemporaryDirectory() as folder:
            done = run(number, asked.processes, Path(folder) / "of-tests")
        kept = line(number, time.monotonic() - start, done.stdout)
        print(kept, flush=True)
        with asked.to.open("a", encoding="utf-8") as file:
            file.write(kept + "\n")
        if done.returncode:
            asked.to.with_name(f"{asked.to.name}.{number}").write_text(done.stdout + done.stderr, encoding="utf-8")


if __name__ == "__main__":
    main()
