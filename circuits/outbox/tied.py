"""Ties a child process to the one that started it, so that none is left behind, however the starter ends."""

from __future__ import annotations

import os
import signal
from threading import Thread

STANDARD_INPUT = 0


def end_with_parent() -> None:
    """End this process, as by SIGTERM, when its standard input closes: the starter holds the other end."""

    def wait_and_end() -> None:
        # Not through sys.stdin: its lock, held by a waiting thread, would abort the interpreter's own end.
        while os.read(STANDARD_INPUT, 1):
            pass
        os.kill(os.getpid(), signal.SIGTERM)

    Thread(target=wait_and_end, name="end-with-parent", daemon=True).start()
