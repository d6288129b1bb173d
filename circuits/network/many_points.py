"""Many operating points of one network at once: every state by every fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from circuits.network.branches import Branches
from circuits.network.faults import Fault, with_faults
from circuits.network.solve import Solution, solve


def solve_all(
    branches: Branches, states: Sequence[Mapping[str, str]], faults: Sequence[Fault | None]
) -> tuple[tuple[Solution, ...], ...]:
    """Solve every state with every fault; ``None`` is the vehicle without a fault. A row a state.

    Parameters
    ----------
    branches : Branches
    states : sequence of mapping of str to str
        Position by function.
    faults : sequence of Fault or None
    """
    rows = []
    for positions in states:
        row = []
        for fault in faults:
            faulted = with_faults(branches, () if fault is None else (fault,))
            row.append(solve(faulted.branches, positions, broken=faulted.broken))
        rows.append(tuple(row))
    return tuple(rows)
