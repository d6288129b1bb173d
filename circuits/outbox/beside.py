"""Long work in a thread of this process, where no broker hands it to a worker: whoever queued it need not wait."""

from __future__ import annotations

from threading import Lock, Thread, current_thread

from django.db import connections

from circuits.outbox.running import run

_lock = Lock()
_threads: set[Thread] = set()


def run_beside(row_id: int) -> None:
    """Run a row in a thread of its own. Ends with the process; the row's lease then lets the next sweep begin anew."""
    thread = Thread(target=_work, args=(row_id,), name=f"outbox-work-{row_id}", daemon=True)
    with _lock:
        _threads.add(thread)
    thread.start()


def wait_for_all() -> None:
    """Wait until all work of this process is done: for a command that would end before it."""
    with _lock:
        threads = list(_threads)
    for thread in threads:
        thread.join()


def _work(row_id: int) -> None:
    try:
        run(row_id)
    finally:
        connections.close_all()
        with _lock:
            _threads.discard(current_thread())
