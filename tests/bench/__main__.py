"""Runs every ``bench_*.py`` beside this file, or those named, each in a process of its own.

``python -m tests.bench workup`` runs ``bench_workup.py`` alone.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def main(names: list[str]) -> int:
    """Run the benches; 1 where one of them fails."""
    known = sorted(path.stem for path in Path(__file__).parent.glob("bench_*.py"))
    wanted = [f"bench_{name.removeprefix('bench_')}" for name in names] or known
    failed = 0
    for name in wanted:
        if name not in known:
            print(f"no bench named {name}; there are {', '.join(known)}", file=sys.stderr)
            return 2
        print(f"\n{name}", flush=True)
        failed |= subprocess.run([sys.executable, "-m", f"tests.bench.{name}"], check=False).returncode != 0
    return int(failed)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
