"""Tasks that leave a trace in a folder, so that tests can watch another process at work."""

from __future__ import annotations

import os
import time
from pathlib import Path

from circuits.outbox.progress import report
from circuits.outbox.registry import task

NOTE, HOLD, FAIL_AT_FIRST = "tests.note", "tests.hold", "tests.fail_at_first"


def trace(folder: str, word: str) -> None:
    """Add a line to the folder's trace."""
    with (Path(folder) / "trace").open("a") as file:
        file.write(f"{word} {os.getpid()}\n")


@task(NOTE)
def note(folder: str, word: str) -> None:
    """Leave a trace."""
    trace(folder, word)


@task(HOLD)
def hold(folder: str) -> None:
    """Leave a trace, wait for the file ``go``, leave another."""
    trace(folder, "began")
    report(1, 2, "waiting for the word to go")
    while not (Path(folder) / "go").exists():
        time.sleep(0.05)
    trace(folder, "ended")


@task(FAIL_AT_FIRST)
def fail_at_first(folder: str) -> None:
    """Fail unless the file ``mended`` exists."""
    trace(folder, "tried")
    if not (Path(folder) / "mended").exists():
        raise RuntimeError("the fuse is out")
