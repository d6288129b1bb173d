"""Do the cuts fit the rolls? The quick ways first, then fractional packing, rounding, and search."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from math import gcd

from estimating.buying.packing.closed import impossible, too_small
from estimating.buying.packing.columns import Columns, fractional
from estimating.buying.packing.dive import dive, quick
from estimating.buying.packing.exact import all_fillings, choose_columns
from estimating.buying.packing.repack import repack
from estimating.buying.packing.task import Effort, Fits, NotPacked, Task, TooSmall, Verdict


def check(task: Task, effort: Effort) -> Verdict:
    """Whether the items fit the bins.

    Parameters
    ----------
    task : Task
    effort : Effort

    Returns
    -------
    Fits, TooSmall or NotPacked
        ``TooSmall`` holds for every number of bins, not only for these; ``NotPacked`` says whether it is certain.

    Examples
    --------
    >>> check(Task((5000, 3000), (2, 3), (10000,), (2,), ((0, 1),)), Effort())
    Fits(layout=((0, ((0, 2),)), (0, ((1, 3),))))
    >>> check(Task((6000,), (3,), (10000,), (2,), ((0,),)), Effort())
    TooSmall(weights=(1,), least=3)
    """
    if not any(task.counts):
        return Fits(())
    coarse = _coarse(task)
    columns = Columns()
    layout = quick(coarse, columns)
    if layout is not None:
        return Fits(layout)
    if small := too_small(coarse, effort):
        return _in_lowest_terms(small)
    found = fractional(coarse, columns, effort)
    if isinstance(found, TooSmall):
        return _in_lowest_terms(found)
    if found is not None:
        layout = dive(coarse, columns, found, effort)
        if layout is not None:
            return Fits(layout)
    layout = repack(coarse, effort)
    if layout is not None:
        return Fits(layout)
    return impossible(coarse, effort) or _search(coarse, columns, effort)


def _search(task: Task, columns: Columns, effort: Effort) -> Verdict:
    """Over all fillings where they can be listed, else over those that came up."""
    listed = all_fillings(task, effort.fillings)
    if listed is not None:
        chosen = choose_columns(task, listed, effort)
        if isinstance(chosen, bool) and not chosen:
            chosen = choose_columns(task, columns, effort) or chosen
            return NotPacked(is_impossible=False) if isinstance(chosen, bool) else Fits(chosen)
        return NotPacked(is_impossible=True) if isinstance(chosen, bool) else Fits(chosen)
    chosen = choose_columns(task, columns, effort)
    return NotPacked(is_impossible=False) if isinstance(chosen, bool) else Fits(chosen)


def _coarse(task: Task) -> Task:
    """The same question in the greatest unit that divides all sizes."""
    unit = reduce(gcd, task.sizes)
    if unit == 1:
        return task
    return replace(
        task,
        sizes=tuple(size // unit for size in task.sizes),
        capacities=tuple(capacity // unit for capacity in task.capacities),
    )


def _in_lowest_terms(found: TooSmall) -> TooSmall:
    unit = reduce(gcd, (*found.weights, found.least))
    return TooSmall(tuple(weight // unit for weight in found.weights), found.least // unit)
