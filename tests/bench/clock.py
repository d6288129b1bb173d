"""Medians of repeated runs, and how they are printed."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from statistics import median


def median_ms(work: Callable[[], object], *, runs: int = 21) -> float:
    """Median time of ``work`` [ms], after one run to warm up, without the collector coming in between."""
    work()
    times = []
    for _ in range(runs):
        gc.collect()
        gc.disable()
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
        gc.enable()
    return median(times)


def line(what: str, ms: float, note: str = "") -> None:
    """One line of the report."""
    print(f"  {what:<48} {ms:9.2f} ms  {note}", flush=True)
