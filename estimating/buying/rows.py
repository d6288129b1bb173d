"""A mixed-integer programme put together row by row."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array


@dataclass(slots=True)
class Model:
    """Columns and rows so far."""

    cost: list[float] = field(default_factory=list)
    top: list[float] = field(default_factory=list)
    is_whole: list[bool] = field(default_factory=list)
    data: list[float] = field(default_factory=list)
    at: list[int] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def column(self, *, cost: float = 0.0, top: float = inf, is_whole: bool = True) -> int:
        """Adds a column from 0 to ``top``; its number."""
        self.cost.append(cost)
        self.top.append(top)
        self.is_whole.append(is_whole)
        return len(self.cost) - 1

    def row(self, terms: Iterable[tuple[int, float]], *, low: float = -inf, high: float = inf) -> None:
        """Adds ``low <= sum(factor × column) <= high``; its numbers are brought near 1."""
        together: dict[int, float] = {}
        for column, factor in terms:
            together[column] = together.get(column, 0.0) + factor
        size = max((abs(factor) for factor in together.values()), default=1.0) or 1.0
        self.at += together
        self.data += [factor / size for factor in together.values()]
        self.starts.append(len(self.at))
        self.low.append(low / size)
        self.high.append(high / size)

    def solve(self, seconds: float, nodes: int | None = None) -> Solved:
        """Solves to proven optimality or until time runs out.

        Examples
        --------
        >>> model = Model()
        >>> x = model.column(cost=3)
        >>> model.row([(x, 2)], low=3)
        >>> model.solve(10).bound
        6.0
        """
        options: dict[str, float] = {"mip_rel_gap": 0.0}
        if seconds != inf:
            options["time_limit"] = max(seconds, 0.01)
        if nodes is not None:
            options["node_limit"] = nodes
        matrix = csr_array((self.data, self.at, self.starts), shape=(len(self.low), len(self.cost)))
        result = milp(
            np.array(self.cost),
            constraints=LinearConstraint(matrix, self.low, self.high),
            integrality=np.array(self.is_whole, dtype=int),
            bounds=Bounds(0, self.top),
            options=options,
        )
        bound = result.mip_dual_bound
        return Solved(result.x, -inf if bound is None or np.isnan(bound) else float(bound), result.status)


@dataclass(frozen=True, slots=True)
class Solved:
    """Best point found (None where none was), lower bound, and the solver's status: 0 optimal, 2 without solution."""

    x: NDArray[np.float64] | None
    bound: float
    status: int
