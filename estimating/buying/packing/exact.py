"""Whole packings by branch and bound over fillings: over some of them, or over all that can matter."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from estimating.buying.packing.columns import Columns, column_matrix
from estimating.buying.packing.task import Effort, Layout, Task

INFEASIBLE = 2
"""Status of ``scipy.optimize.milp`` for a model without solution."""


def choose_columns(task: Task, columns: Columns, effort: Effort) -> Layout | bool:
    """Picks fillings that hold every item; what they hold beyond that is left out again.

    Returns
    -------
    Layout or bool
        The layout; True where these fillings hold none; False where that stayed open.

    Examples
    --------
    >>> task = Task((6, 4), (2, 2), (10,), (2,), ((0, 1),))
    >>> columns = Columns()
    >>> columns.add(((0, ((0, 1), (1, 1))),))
    True
    >>> choose_columns(task, columns, Effort())
    ((0, ((0, 1), (1, 1))), (0, ((0, 1), (1, 1))))
    """
    listed = columns.list()
    seconds = effort.seconds_left()
    if not listed or seconds <= 0:
        return not listed
    low = np.concatenate([np.array(task.counts, dtype=float), np.zeros(len(task.bins))])
    high = np.concatenate([np.full(len(task.counts), np.inf), np.array(task.bins, dtype=float)])
    top = np.array([float(task.bins[kind]) for kind, _ in listed])
    options: dict[str, float] = {"node_limit": effort.nodes}
    if seconds != float("inf"):
        options["time_limit"] = seconds
    result = milp(
        np.zeros(len(listed)),
        constraints=LinearConstraint(column_matrix(task, listed), low, high),
        integrality=np.ones(len(listed)),
        bounds=Bounds(0, top),
        options=options,
    )
    if result.status == INFEASIBLE:
        return True
    if result.x is None:
        return False
    chosen = tuple(column for column, times in zip(listed, result.x, strict=True) for _ in range(round(times)))
    return _without_surplus(task, chosen) or False


def _without_surplus(task: Task, chosen: Layout) -> Layout | None:
    """The layout with every item as often as it is wanted; None where one is missing or there are too few bins."""
    wanted, bins = list(task.counts), list(task.bins)
    layout = []
    for kind, filling in chosen:
        bins[kind] -= 1
        kept = []
        for item, n in filling:
            if take := min(n, wanted[item]):
                kept.append((item, take))
                wanted[item] -= take
        layout.append((kind, tuple(kept)))
    return None if any(wanted) or min(bins) < 0 else tuple(layout)


def all_fillings(task: Task, most: int) -> Columns | None:
    """Every filling that a whole layout can hold: none may waste more than all bins together have to spare.

    Parameters
    ----------
    task : Task
    most : int
        Most fillings to list.

    Returns
    -------
    Columns or None
        None where there are more.

    Examples
    --------
    >>> all_fillings(Task((6, 4), (2, 2), (10,), (2,), ((0, 1),)), 10).list()
    [(0, ((0, 1), (1, 1)))]
    """
    columns = Columns()
    budget = [most * 50]
    for kind, capacity in enumerate(task.capacities):
        if not task.bins[kind]:
            continue
        items = [
            (item, task.sizes[item], task.counts[item])
            for item in sorted(task.allowed[kind], key=lambda item: (-task.sizes[item], item))
            if task.counts[item] and task.sizes[item] <= capacity
        ]
        reachable = _reachable(items, capacity)
        for filling in _fillings(items, 0, capacity, min(task.slack, capacity - 1), reachable, budget):
            columns.all[kind, tuple(sorted(filling))] = None
            if len(columns.all) > most:
                return None
        if budget[0] <= 0:
            return None
    return columns


def _reachable(items: list[tuple[int, int, int]], capacity: int) -> list[int]:
    """For every position, the sums (as bits) that the items from there on can make."""
    mask = (1 << (capacity + 1)) - 1
    sums = [1]
    for _, size, count in reversed(items):
        reached = sums[-1]
        once = reached
        for _ in range(min(count, capacity // size)):
            once = (once << size) & mask
            reached |= once
        sums.append(reached)
    return sums[::-1]


def _fillings(
    items: list[tuple[int, int, int]], at: int, room: int, waste: int, reachable: list[int], budget: list[int]
) -> Iterator[list[tuple[int, int]]]:
    """Fillings of items from ``at`` on that leave at most ``waste`` of ``room``."""
    budget[0] -= 1
    window = reachable[at] >> max(0, room - waste) & ((1 << (min(room, waste) + 1)) - 1)
    if not window or budget[0] <= 0:
        return
    if at == len(items):
        yield []
        return
    item, size, count = items[at]
    for n in range(min(count, room // size), -1, -1):
        for rest in _fillings(items, at + 1, room - n * size, waste, reachable, budget):
            yield [(item, n), *rest] if n else rest
