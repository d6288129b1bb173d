"""One launcher a data folder."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import IO

if sys.platform == "win32":
    import msvcrt

    def _lock(file: IO[str]) -> None:
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(file: IO[str]) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def hold(path: Path) -> IO[str] | None:
    """Hold the lock until the returned file is closed or this process ends; None where another process holds it."""
    file = path.open("a")
    try:
        _lock(file)
    except OSError:
        file.close()
        return None
    return file
