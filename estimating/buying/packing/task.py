"""One question of cutting: do these items fit into these bins? In whole numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

Filling = tuple[tuple[int, int], ...]
"""What lies in one bin: (item, how many)."""

Layout = tuple[tuple[int, Filling], ...]
"""Every bin that is used: (type of bin, what lies in it)."""


@dataclass(frozen=True, slots=True)
class Task:
    """Items and bins.

    Parameters
    ----------
    sizes, counts : tuple of int
        Of each item; sizes above 0.
    capacities, bins : tuple of int
        Of each type of bin, and how many of it there are.
    allowed : tuple of tuple of int
        For each type of bin the items that may lie in it, ascending; longer ones than it holds may be among them.
    """

    sizes: tuple[int, ...]
    counts: tuple[int, ...]
    capacities: tuple[int, ...]
    bins: tuple[int, ...]
    allowed: tuple[tuple[int, ...], ...]

    @property
    def volume(self) -> int:
        """Size of all items together."""
        return sum(size * count for size, count in zip(self.sizes, self.counts, strict=True))

    @property
    def slack(self) -> int:
        """What all bins hold beyond the items."""
        return sum(cap * n for cap, n in zip(self.capacities, self.bins, strict=True)) - self.volume

    def less(self, layout: Layout) -> Task:
        """The question that remains once these bins are filled."""
        counts, bins = list(self.counts), list(self.bins)
        for kind, filling in layout:
            bins[kind] -= 1
            for item, n in filling:
                counts[item] -= n
        return Task(self.sizes, tuple(counts), self.capacities, tuple(bins), self.allowed)


@dataclass(frozen=True, slots=True)
class Fits:
    """Yes, like this."""

    layout: Layout


@dataclass(frozen=True, slots=True)
class TooSmall:
    """No: whatever bins are taken, ``sum(weights[t] × bins[t])`` must reach ``least``."""

    weights: tuple[int, ...]
    least: int


@dataclass(frozen=True, slots=True)
class NotPacked:
    """No way was found; ``is_impossible`` where there is none.

    ``kinds`` are the types of bin of which one more is needed then; empty = any.
    """

    is_impossible: bool
    kinds: frozenset[int] = frozenset()


Verdict = Fits | TooSmall | NotPacked


@dataclass(frozen=True)
class Effort:
    """How hard to try. Only ``seconds_left`` depends on the clock; it strikes late.

    Parameters
    ----------
    pricing_rounds : int
        Rounds of column generation for each question.
    dive_steps : int
    nodes : int
        Of each branch-and-bound.
    moves : int
        Of the local search.
    fillings : int
        Most fillings that are listed one by one.
    seconds_left : callable
    """

    pricing_rounds: int = 400
    dive_steps: int = 60
    nodes: int = 4000
    moves: int = 20_000
    fillings: int = 20_000
    seconds_left: Callable[[], float] = lambda: inf
