"""How a long search is watched: time, progress, and a way to stop it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Progress:
    """Best cost so far, what no plan can fall below, and rounds done."""

    cost: Decimal
    lower_bound: Decimal
    rounds: int


def _no_time() -> float:
    return 0.0


def _silent(progress: Progress) -> None:
    del progress


@dataclass(frozen=True, slots=True)
class Watch:
    """The caller's clock and ear; the core itself reads no clock.

    Parameters
    ----------
    elapsed_s : callable
        Seconds since the search began. The default stands still: then only single steps are limited.
    report : callable
        Called once there is a first plan, and after every round. What it raises ends the search and reaches the
        caller: so it is cancelled.
    """

    elapsed_s: Callable[[], float] = _no_time
    report: Callable[[Progress], None] = _silent
