"""Parts and joinable metres: which source gives how much to which group."""

from __future__ import annotations

from math import inf

from estimating.buying.packing.task import Filling, Layout, Task
from estimating.buying.rows import Model


def share_out(task: Task) -> Layout | None:
    """Shares the bins out among the items; None where they do not suffice.

    A transport problem: its corners are whole, so whole numbers come at no price.

    Parameters
    ----------
    task : Task
        With items of size 1.

    Returns
    -------
    Layout or None

    Examples
    --------
    >>> share_out(Task((1, 1), (3, 4), (5, 2), (1, 1), ((0, 1), (1,))))
    ((0, ((0, 3), (1, 2))), (1, ((1, 2),)))
    """
    flows = _flows(task)
    if flows is None:
        return None
    layout: list[tuple[int, Filling]] = []
    for kind, capacity in enumerate(task.capacities):
        mine = [[item, flows[kind, item]] for item in task.allowed[kind] if flows.get((kind, item))]
        while mine:
            room, filling = capacity, []
            while mine and room:
                n = min(room, mine[0][1])
                filling.append((mine[0][0], n))
                room -= n
                mine[0][1] -= n
                if not mine[0][1]:
                    mine.pop(0)
            layout.append((kind, tuple(filling)))
    return tuple(layout)


def _flows(task: Task) -> dict[tuple[int, int], int] | None:
    model = Model()
    columns = {}
    for kind, allowed in enumerate(task.allowed):
        if task.bins[kind]:
            for item in allowed:
                columns[kind, item] = model.column(top=float(task.counts[item]))
    for item, count in enumerate(task.counts):
        if count:
            model.row([(c, 1.0) for (_, i), c in columns.items() if i == item], low=count, high=count)
    for kind, n in enumerate(task.bins):
        mine = [(c, 1.0) for (k, _), c in columns.items() if k == kind]
        if mine:
            model.row(mine, high=task.capacities[kind] * n)
    if not any(task.counts):
        return {}
    solved = model.solve(inf, nodes=100) if columns else None
    if solved is None or solved.x is None:
        return None
    return {pair: n for pair, column in columns.items() if (n := round(solved.x[column]))}
