"""The most valuable filling of a bin, exactly, for every capacity at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimating.buying.packing.fill import chunks
from estimating.buying.packing.task import Filling

EXTRA_FILLINGS = 16
"""Further good fillings that are taken from one table."""


@dataclass(frozen=True, slots=True)
class Step:
    """``n`` of one item as one choice: where taking it was better than not."""

    item: int
    n: int
    size: int
    value: int
    taken: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Table:
    """Greatest value for every capacity, with the choices that lead there."""

    best: NDArray[np.int64]
    steps: tuple[Step, ...]
    candidates: dict[int, tuple[tuple[int, int], ...]]

    def filling(self, capacity: int, before: int | None = None) -> dict[int, int]:
        """The filling of greatest value, among the first ``before`` steps."""
        chosen: dict[int, int] = {}
        for step in reversed(self.steps[:before]):
            at = capacity - step.size
            if at >= 0 and step.taken[at]:
                chosen[step.item] = chosen.get(step.item, 0) + step.n
                capacity = at
        return chosen

    def fillings(self, capacity: int, above: float) -> list[Filling]:
        """The best filling and others that are worth more than ``above``, best first.

        Examples
        --------
        >>> table = knapsack([(0, 6, 2), (1, 4, 3)], [7, 5], (10,))
        >>> table.fillings(10, 9)
        [((0, 1), (1, 1))]
        """
        found: dict[Filling, None] = {}
        if self.best[capacity] > above:
            found[tuple(sorted(self.filling(capacity).items()))] = None
        for value, number in sorted(self.candidates[capacity], key=lambda one: (-one[0], one[1])):
            if value <= above or len(found) > EXTRA_FILLINGS:
                break
            step = self.steps[number]
            chosen = self.filling(capacity - step.size, number)
            chosen[step.item] = chosen.get(step.item, 0) + step.n
            found[tuple(sorted(chosen.items()))] = None
        return list(found)


def knapsack(items: Sequence[tuple[int, int, int]], values: Sequence[int], capacities: Sequence[int]) -> Table:
    """Greatest value of items in a bin.

    Parameters
    ----------
    items : sequence of (int, int, int)
        Item, its size, how many there are.
    values : sequence of int
        Of every item, by its number, 0 or more.
    capacities : sequence of int
        Those that fillings will be asked for.

    Returns
    -------
    Table

    Examples
    --------
    >>> int(knapsack([(0, 6, 1), (1, 4, 3)], [7, 5], (10,)).best[9])
    10
    """
    top = max(capacities)
    best = np.zeros(top + 1, dtype=np.int64)
    steps: list[Step] = []
    candidates: dict[int, list[tuple[int, int]]] = {capacity: [] for capacity in capacities}
    for item, size, count in items:
        if values[item] <= 0:
            continue
        for n in chunks(min(count, top // size)):
            width, value = n * size, n * values[item]
            for capacity, found in candidates.items():
                if width <= capacity:
                    found.append((int(best[capacity - width]) + value, len(steps)))
            shifted = best[: top + 1 - width] + value
            taken = shifted > best[width:]
            np.maximum(shifted, best[width:], out=best[width:])
            steps.append(Step(item, n, width, value, taken))
    return Table(best, tuple(steps), {capacity: tuple(found) for capacity, found in candidates.items()})
