"""Dead ends of a network: branches that lead nowhere carry no current, so they are taken off before anything is solved.

That is exact, and it keeps nodes that hang on a blocked junction alone from making the rest unsolvable.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuits.network.branches import Bools, Ints
from circuits.network.laws import Floats


@dataclass(frozen=True, slots=True)
class Stripped:
    """What is left, and how dead ends get their voltage.

    Parameters
    ----------
    kept : array of bool
        True for each branch that lies on no dead end.
    leaf, anchor, branch : tuple of array of int
        Round by round: nodes taken off, the node each hung on, and by which branch.
    outward : tuple of array of float
        1 where that branch runs from anchor to leaf, else -1.
    """

    kept: Bools
    leaf: tuple[Ints, ...]
    anchor: tuple[Ints, ...]
    branch: tuple[Ints, ...]
    outward: tuple[Floats, ...]

    def spread(self, volt_v: Floats, emf_v: Floats) -> None:
        """Give dead ends, in place, the voltage of where they hang, plus the force of the branch between [V]."""
        for leaf, anchor, branch, outward in zip(
            reversed(self.leaf), reversed(self.anchor), reversed(self.branch), reversed(self.outward), strict=True
        ):
            volt_v[leaf] = volt_v[anchor] + outward * emf_v[branch]


def strip_stubs(nodes: int, start: Ints, end: Ints, on: Bools, reference: int) -> Stripped:
    """Take off dead ends until none is left. The reference stays.

    Parameters
    ----------
    nodes : int
    start, end : array of int
    on : array of bool
        True for each branch that conducts.
    reference : int

    Examples
    --------
    Node 2 hangs on a loop of 0 and 1.

    >>> start, end = np.array([0, 0, 1]), np.array([1, 1, 2])
    >>> strip_stubs(3, start, end, np.ones(3, dtype=bool), 0).kept.tolist()
    [True, True, False]
    """
    kept = on & (start != end)
    leaves: list[Ints] = []
    anchors: list[Ints] = []
    branches: list[Ints] = []
    outwards: list[Floats] = []
    while True:
        rows = np.flatnonzero(kept)
        degree = np.bincount(start[rows], minlength=nodes) + np.bincount(end[rows], minlength=nodes)
        degree[reference] += 2
        at_start, at_end = degree[start[rows]] == 1, degree[end[rows]] == 1
        at_end &= ~at_start  # a lone branch of two leaves: one of them anchors the other
        if not (at_start.any() or at_end.any()):
            return Stripped(kept, tuple(leaves), tuple(anchors), tuple(branches), tuple(outwards))
        inward, outward = rows[at_start], rows[at_end]
        leaves.append(np.concatenate((start[inward], end[outward])))
        anchors.append(np.concatenate((end[inward], start[outward])))
        branches.append(np.concatenate((inward, outward)))
        outwards.append(np.concatenate((-np.ones(len(inward)), np.ones(len(outward)))))
        kept = kept.copy()
        kept[branches[-1]] = False
