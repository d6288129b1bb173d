"""From a fractional packing to a whole one: take what is whole or nearly, pack the rest anew."""

from __future__ import annotations

from estimating.buying.packing.columns import Columns, Fractional, fractional
from estimating.buying.packing.fill import is_whole, quick_layouts
from estimating.buying.packing.task import Effort, Filling, Layout, Task

NEARLY_WHOLE = (0.7, 0.99, 0.4)
"""Fillings used at least this often are taken once; a dive that leads nowhere is tried again with the next."""


def quick(task: Task, columns: Columns | None = None) -> Layout | None:
    """A whole layout by a quick way; its fillings, whole or not, go into ``columns``.

    Examples
    --------
    >>> quick(Task((4, 3), (1, 2), (10,), (1,), ((0, 1),)))
    ((0, ((0, 1), (1, 2))),)
    """
    for layout in quick_layouts(task):
        if columns is not None:
            columns.add(layout)
        if is_whole(task, layout):
            return layout
    return None


def dive(task: Task, columns: Columns, first: Fractional, effort: Effort) -> Layout | None:
    """Rounds a fractional packing step by step; None where that leads nowhere.

    Parameters
    ----------
    task : Task
    columns : Columns
        New ones are added.
    first : Fractional
    effort : Effort

    Returns
    -------
    Layout or None

    Examples
    --------
    >>> task = Task((6, 4), (2, 2), (10,), (2,), ((0, 1),))
    >>> columns = Columns()
    >>> dive(task, columns, fractional(task, columns, Effort()), Effort())
    ((0, ((0, 1), (1, 1))), (0, ((0, 1), (1, 1))))
    """
    for share in NEARLY_WHOLE:
        layout = _dive(task, columns, first, effort, share)
        if layout is not None:
            return layout
        # The dive has found more fillings: they change where the next one starts.
        again = fractional(task, columns, effort)
        if not isinstance(again, Fractional):
            return None
        first = again
    return None


def _dive(task: Task, columns: Columns, first: Fractional, effort: Effort, share: float) -> Layout | None:
    taken: list[tuple[int, Filling]] = []
    solution: Fractional = first
    for _ in range(effort.dive_steps):
        step = _steps(task, solution, share)
        if not step:
            return None
        taken += step
        task = task.less(tuple(step))
        if not any(task.counts):
            return tuple(taken)
        rest = quick(task, columns)
        if rest is not None:
            return (*taken, *rest)
        usable = columns.within(task)
        found = fractional(task, usable, effort)
        columns.add(tuple(usable.list()))
        if not isinstance(found, Fractional):
            return None
        solution = found
    return None


def _steps(task: Task, solution: Fractional, share: float) -> list[tuple[int, Filling]]:
    """Whole and nearly whole fillings as often as they still fit; at least the most used one."""
    ranked = sorted(
        ((float(times), number) for number, times in enumerate(solution.times) if times > 1e-9),
        key=lambda one: (-round(one[0], 9), -_size(task, solution.columns[one[1]][1]), solution.columns[one[1]]),
    )
    taken: list[tuple[int, Filling]] = []
    counts, bins = list(task.counts), list(task.bins)
    for rank, (times, number) in enumerate(ranked):
        kind, filling = solution.columns[number]
        wanted = int(times + 1 - share) if rank else max(1, int(times + 1 - share))
        for _ in range(wanted):
            if bins[kind] < 1 or any(counts[item] < n for item, n in filling):
                break
            bins[kind] -= 1
            for item, n in filling:
                counts[item] -= n
            taken.append((kind, filling))
    return taken


def _size(task: Task, filling: Filling) -> int:
    return sum(task.sizes[item] * n for item, n in filling)
