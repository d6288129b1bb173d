"""Column generation: fractional packing, or weights that prove the bins too small.

The linear programme over fillings is Gilmore and Gomory's (Operations Research 9, 1961), with items left over as its
cost. Its dual prices are the weights: no filling of a bin of type t weighs more than the knapsack's value there, so
where all bins together cannot reach the weight of all items, no set of bins that cannot either will do.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog
from scipy.sparse import csc_array, diags_array, hstack

from estimating.buying.packing.knapsack import knapsack
from estimating.buying.packing.task import Effort, Filling, Layout, Task, TooSmall

SCALE = 1_000_000
"""Weights are whole millionths of the price of the longest item, so that sums are exact."""

ENOUGH_FILLINGS = 40
"""New fillings with which a round may end before all types of bin are gone through."""

FULL_EVERY = 6
"""Rounds of which one goes through all types of bin, to see whether there is a proof already."""

CALM = 0.7
"""Share of earlier prices in those that fillings are sought by: prices that jump about cost rounds (Wentges 1997)."""

NONE_OVER = 1e-7
"""Cost of items left over below which a fractional packing is whole."""


@dataclass(slots=True)
class Columns:
    """Fillings by type of bin, without doubles, in the order they came."""

    all: dict[tuple[int, Filling], None] = field(default_factory=dict)

    def add(self, layout: Layout) -> bool:
        """Adds fillings; True where any was new."""
        before = len(self.all)
        for kind, filling in layout:
            if filling:
                self.all[kind, filling] = None
        return len(self.all) > before

    def within(self, task: Task) -> Columns:
        """Those that can still be used."""
        return Columns(
            {
                (kind, filling): None
                for kind, filling in self.all
                if task.bins[kind] and all(task.counts[item] >= n for item, n in filling)
            }
        )

    def list(self) -> list[tuple[int, Filling]]:
        """As a list, in order."""
        return list(self.all)


@dataclass(frozen=True, slots=True)
class Fractional:
    """A fractional packing: how often each column is used."""

    columns: list[tuple[int, Filling]]
    times: NDArray[np.float64]


def column_matrix(task: Task, columns: list[tuple[int, Filling]]) -> csc_array:
    """Items (first rows) and bins (last rows) of each column."""
    rows: list[int] = []
    starts = [0]
    data: list[float] = []
    for kind, filling in columns:
        rows += [item for item, _ in filling]
        data += [float(n) for _, n in filling]
        rows.append(len(task.sizes) + kind)
        data.append(1.0)
        starts.append(len(rows))
    return csc_array((data, rows, starts), shape=(len(task.sizes) + len(task.bins), len(columns)))


def fractional(task: Task, columns: Columns, effort: Effort) -> Fractional | TooSmall | None:
    """Packs fractionally by column generation.

    Parameters
    ----------
    task : Task
    columns : Columns
        To start from; new ones are added to it.
    effort : Effort

    Returns
    -------
    Fractional or TooSmall or None
        None where time or rounds ran out.

    Examples
    --------
    >>> from estimating.buying.packing.fill import quick_layouts
    >>> task = Task((6,), (3,), (10,), (2,), ((0,),))
    >>> fractional(task, Columns(), Effort())
    TooSmall(weights=(1000000,), least=3000000)
    """
    sets = list(dict.fromkeys(task.allowed))
    calm: NDArray[np.float64] | None = None
    for number in range(effort.pricing_rounds):
        if effort.seconds_left() <= 0:
            return None
        listed = columns.list()
        solved = _solve(task, listed)
        if solved is None:
            return None
        cost, times, prices, rents = solved
        if cost <= NONE_OVER:
            return Fractional(listed, times)
        duals = np.concatenate([prices, rents])
        calm = duals if calm is None else CALM * calm + (1 - CALM) * duals
        prices, rents = calm[: len(prices)], calm[len(prices) :]
        values = [int(price * SCALE) for price in prices]
        first = number % len(sets)
        found = _priced(task, values, rents, [*sets[first:], *sets[:first]], is_full=number % FULL_EVERY == 0)
        if isinstance(found, TooSmall):
            return found
        if not columns.add(found):
            prices, rents = duals[: len(prices)], duals[len(prices) :]
            values = [int(price * SCALE) for price in prices]
            found = _priced(task, values, rents, sets, is_full=True)
            if isinstance(found, TooSmall) or not columns.add(found):
                return found if isinstance(found, TooSmall) else None
    return None


def _priced(
    task: Task, values: list[int], rents: NDArray[np.float64], sets: list[tuple[int, ...]], *, is_full: bool
) -> Layout | TooSmall:
    """Fillings worth more than their bin's rent; where all types of bin are gone through, the proof if there is one."""
    weights = [0] * len(task.bins)
    found: list[tuple[int, Filling]] = []
    for allowed in sets:
        kinds = [kind for kind, mine in enumerate(task.allowed) if mine == allowed]
        items = [(item, task.sizes[item], task.counts[item]) for item in allowed if task.counts[item]]
        table = knapsack(items, values, sorted({task.capacities[kind] for kind in kinds}))
        for kind in kinds:
            capacity = task.capacities[kind]
            weights[kind] = int(table.best[capacity])
            if task.bins[kind]:
                found += ((kind, each) for each in table.fillings(capacity, float(rents[kind]) * SCALE + 1))
        if not is_full and len(found) >= ENOUGH_FILLINGS:
            return tuple(found)
    least = sum(value * count for value, count in zip(values, task.counts, strict=True))
    if sum(w * n for w, n in zip(weights, task.bins, strict=True)) < least:
        return TooSmall(tuple(weights), least)
    return tuple(found)


def _solve(
    task: Task, listed: list[tuple[int, Filling]]
) -> tuple[float, NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]] | None:
    items, kinds = len(task.sizes), len(task.bins)
    top = max(task.sizes)
    over = csc_array((np.ones(items), np.arange(items), np.arange(items + 1)), shape=(items + kinds, items))
    matrix = column_matrix(task, listed)
    signs = np.concatenate([-np.ones(items), np.ones(kinds)])
    whole = diags_array(signs) @ hstack([matrix, over])
    bounds = np.concatenate([-np.array(task.counts, dtype=float), np.array(task.bins, dtype=float)])
    cost = np.concatenate([np.zeros(len(listed)), np.array(task.sizes, dtype=float) / top])
    result = linprog(cost, A_ub=whole, b_ub=bounds, method="highs")
    if result.status != 0:
        return None
    marginals = -result.ineqlin.marginals
    return (
        float(result.fun),
        result.x[: len(listed)],
        np.maximum(marginals[:items], 0),
        np.maximum(marginals[items:], 0),
    )
