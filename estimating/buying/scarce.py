"""Needs that only stock can meet: no offer reaches them in time. As many as possible get it, the rest stays unmet."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from estimating.buying.reach import Reach
from estimating.buying.week import Need

NODES = 2000
"""Of the search; ample for the few needs that no offer reaches."""


@dataclass(frozen=True, slots=True)
class Rationed:
    """What stock gives to the needs that nothing else can meet.

    Parameters
    ----------
    given : tuple of (str, int, int)
        Need, source, atoms.
    missing : dict of str to int
        Atoms of each need that stay unmet.
    """

    given: tuple[tuple[str, int, int], ...] = ()
    missing: dict[str, int] = field(default_factory=dict)


def ration(reach: Reach) -> Rationed:
    """Shares stock out among needs that no offer reaches: most atoms first, the sooner date first among equals.

    Parameters
    ----------
    reach : Reach

    Returns
    -------
    Rationed

    Examples
    --------
    >>> from dataclasses import replace
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.reach import reach_of
    >>> ration(reach_of(replace(example_week(), offers=()))).missing
    {'relays': 6, 'cut 1': 1, 'cut 2': 1}
    """
    scarce = [need for need in reach.week.needs if not reach.is_buyable(need)]
    scarce.sort(key=lambda need: (need.needed_by, need.kind, need.ref))
    if not scarce:
        return Rationed()
    pairs = [
        (need, source)
        for need in scarce
        for source in reach.of(need)
        if reach.sources[source].offer is None and reach.sources[source].capacity >= reach.size(need)
    ]
    given = _most(reach, scarce, pairs) if pairs else []
    got: dict[str, int] = {}
    for ref, _, atoms in given:
        got[ref] = got.get(ref, 0) + atoms
    missing = {need.ref: reach.atoms(need) - got.get(need.ref, 0) for need in scarce}
    return Rationed(tuple(given), {ref: n for ref, n in missing.items() if n})


def _most(reach: Reach, scarce: list[Need], pairs: list[tuple[Need, int]]) -> list[tuple[str, int, int]]:
    rows = {need.ref: number for number, need in enumerate(scarce)}
    sources = {source: len(rows) + n for n, source in enumerate(sorted({source for _, source in pairs}))}
    columns = range(len(pairs))
    matrix = csc_array(
        (
            [1.0 for _ in pairs] + [float(reach.size(need)) for need, _ in pairs],
            ([rows[need.ref] for need, _ in pairs] + [sources[source] for _, source in pairs], [*columns, *columns]),
        ),
        shape=(len(rows) + len(sources), len(pairs)),
    )
    high = [float(reach.atoms(need)) for need in scarce] + [float(reach.sources[s].capacity) for s in sources]
    # Worth a little more where the date is sooner: never so much that a second atom would be given up for it.
    ranks = {day: rank for rank, day in enumerate(sorted({need.needed_by for need in scarce}))}
    total = sum(reach.atoms(need) for need in scarce)
    worth = np.array([-1.0 + ranks[need.needed_by] / (len(ranks) * (total + 1)) for need, _ in pairs])
    result = milp(
        worth,
        constraints=LinearConstraint(matrix, -np.inf, high),
        integrality=np.ones(len(pairs)),
        bounds=Bounds(0, [float(reach.atoms(need)) for need, _ in pairs]),
        options={"node_limit": NODES, "mip_rel_gap": 0.0},
    )
    if result.x is None:
        return []
    return [(need.ref, source, round(x)) for (need, source), x in zip(pairs, result.x, strict=True) if round(x)]
