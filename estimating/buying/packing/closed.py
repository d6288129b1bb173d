"""Items that can only go to a few of the bins, as questions of their own: what is impossible there is impossible.

A set of bin types is closed where some items fit nowhere else. Such a set may have nothing to spare although all bins
together have plenty; its question is small enough to be settled, and what it teaches names few types of bin.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from estimating.buying.packing.columns import Columns, fractional
from estimating.buying.packing.exact import all_fillings, choose_columns
from estimating.buying.packing.task import Effort, NotPacked, Task, TooSmall

MAX_SETS = 200
"""Most closed sets that are looked at."""

TIGHT, MAX_TIGHT = 0.05, 12
"""Share of the items' size that a set may have to spare to be worth a fractional packing, and most such sets."""


@dataclass(frozen=True, slots=True)
class Closed:
    """The question of one closed set; ``kinds`` are all types, there or not, that could take any of its items."""

    task: Task
    kinds: frozenset[int]


def closed_sets(task: Task) -> list[Closed]:
    """The closed sets of a question, those with least to spare first.

    Examples
    --------
    >>> task = Task((8, 4), (2, 3), (10, 5), (1, 9), ((0, 1), (0, 1)))
    >>> [(sorted(one.kinds), one.task.slack) for one in closed_sets(task)]
    [([0], -6), ([0, 1], 27)]
    """
    could = _fitting(task, range(len(task.bins)))
    now = _fitting(task, [kind for kind, n in enumerate(task.bins) if n])
    unions: dict[frozenset[int], None] = {frozenset(): None}
    for mine in dict.fromkeys(now[item] for item, n in enumerate(task.counts) if n):
        for known in list(unions):
            unions[known | mine] = None
        if len(unions) > MAX_SETS:
            break
    found = []
    for union in list(unions)[: MAX_SETS + 1]:
        counts = tuple(n if now[item] <= union else 0 for item, n in enumerate(task.counts))
        if any(counts):
            bins = tuple(n if kind in union else 0 for kind, n in enumerate(task.bins))
            kinds = frozenset().union(*(could[item] for item, n in enumerate(counts) if n))
            found.append(Closed(replace(task, counts=counts, bins=bins), kinds))
    return sorted(found, key=lambda one: one.task.slack)


def _fitting(task: Task, kinds: range | list[int]) -> list[frozenset[int]]:
    """Types of bin, of these, that each item fits."""
    fitting: list[set[int]] = [set() for _ in task.sizes]
    for kind in kinds:
        for item in task.allowed[kind]:
            if task.sizes[item] <= task.capacities[kind]:
                fitting[item].add(kind)
    return [frozenset(mine) for mine in fitting]


def too_small(task: Task, effort: Effort) -> TooSmall | None:
    """The proof by a closed set that cannot hold its items even fractionally, where there is one.

    Examples
    --------
    >>> too_small(Task((8, 4), (2, 3), (10, 5), (1, 9), ((0, 1), (0, 1))), Effort())
    TooSmall(weights=(10, 0), least=16)
    """
    sets = closed_sets(task)
    for one in sets:
        if one.task.slack < 0:
            weights = tuple(cap if kind in one.kinds else 0 for kind, cap in enumerate(task.capacities))
            return TooSmall(weights, one.task.volume)
    for one in sorted(_tight(sets, task), key=lambda one: sum(one.task.counts)):
        found = fractional(one.task, Columns(), effort)
        if isinstance(found, TooSmall):
            return found
    return None


def _tight(sets: list[Closed], task: Task) -> list[Closed]:
    """Closed sets with little to spare, truly smaller than the whole question; those with least to spare."""
    tight = [one for one in sets if one.task.counts != task.counts and one.task.slack < TIGHT * one.task.volume]
    return tight[:MAX_TIGHT]


def impossible(task: Task, effort: Effort) -> NotPacked | None:
    """The proof by all fillings of a closed set, where one small enough has none that will do.

    Examples
    --------
    >>> task = Task((6, 5, 1), (2, 1, 9), (10, 4), (2, 9), ((0, 1, 2), (2,)))
    >>> impossible(task, Effort())
    NotPacked(is_impossible=True, kinds=frozenset({0}))
    """
    for one in _smallest(closed_sets(task), task):
        if effort.seconds_left() <= 0:
            return None
        listed = all_fillings(one.task, effort.fillings // 4)
        if listed is not None and choose_columns(one.task, listed, effort) is True:
            return NotPacked(is_impossible=True, kinds=one.kinds)
    return None


def _smallest(sets: list[Closed], task: Task) -> Iterator[Closed]:
    """Those that are truly smaller than the whole question."""
    return (one for one in sets if one.task.counts != task.counts and one.task.slack >= 0)
