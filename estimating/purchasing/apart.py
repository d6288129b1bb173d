"""A search in a process of its own: the page stays quick, and a stop is obeyed in the midst of a step.

The child reads the week from its standard input, writes how far it is and at last the plan to its standard output, and
ends when that input closes, however this process came to its end.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Lock, Thread
from time import monotonic
from typing import IO

from circuits.errors import LoomwrightError
from circuits.outbox.tied import end_with_parent
from estimating.buying.purchase import PurchasePlan
from estimating.buying.solve import plan_purchases
from estimating.buying.watch import Progress, Watch
from estimating.buying.week import Week

ROOT = Path(__file__).resolve().parent.parent.parent
Message = Progress | PurchasePlan | Exception


class LostError(LoomwrightError, RuntimeError):
    """The child ended without a plan: killed, or out of memory."""


def plan_apart(
    week: Week, hear: Callable[[Progress], None], look: Callable[[], None], look_every_s: float
) -> PurchasePlan:
    """Plans a week in a process of its own.

    Parameters
    ----------
    week : Week
    hear : callable
        Called with what the search reports.
    look : callable
        Called every ``look_every_s`` seconds [s]; what it raises ends the child at once and reaches the caller.
    look_every_s : float

    Returns
    -------
    PurchasePlan

    Raises
    ------
    LostError
        Where the child ended before it was done.
    """
    child = subprocess.Popen(
        [sys.executable, "-m", "estimating.purchasing.apart"], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    assert child.stdin is not None
    assert child.stdout is not None
    try:
        messages: SimpleQueue[Message] = SimpleQueue()
        Thread(target=_read, args=(child.stdout, messages), name="search-reader", daemon=True).start()
        pickle.dump(week, child.stdin)
        child.stdin.flush()
        while True:
            look()
            try:
                message = messages.get(timeout=look_every_s)
            except Empty:
                continue
            if isinstance(message, PurchasePlan):
                return message
            if isinstance(message, Exception):
                raise message
            hear(message)
    except BrokenPipeError:
        raise LostError("The search ended before it was done: plan again.") from None
    finally:
        child.kill()
        child.wait()
        child.stdin.close()
        child.stdout.close()


def _read(stream: IO[bytes], messages: SimpleQueue[Message]) -> None:
    try:
        while True:
            messages.put(pickle.load(stream))  # noqa: S301 - what our own child wrote
    except (EOFError, OSError, ValueError, pickle.UnpicklingError):
        messages.put(LostError("The search ended before it was done: plan again."))


def main() -> None:
    """The child."""
    out, lock = os.fdopen(os.dup(1), "wb"), Lock()
    os.dup2(2, 1)  # what a solver prints is no message

    def tell(message: Message) -> None:
        with lock:
            pickle.dump(message, out)
            out.flush()

    week = pickle.load(sys.stdin.buffer)  # noqa: S301 - what our own parent wrote
    end_with_parent()
    began_s = monotonic()
    try:
        tell(plan_purchases(week, Watch(lambda: monotonic() - began_s, tell)))
    except Exception as error:
        tell(error)


if __name__ == "__main__":
    main()
