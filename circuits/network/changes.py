"""Changes to one branch, or between two nodes, of a linear network; and the network anew after one of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from circuits.network.chains import LinearNet
from circuits.network.elements import LEAST_OHM, NetworkError


@dataclass(frozen=True, slots=True)
class Opened:
    """A branch that no longer conducts."""

    row: int


@dataclass(frozen=True, slots=True)
class Worsened:
    """A branch with so much resistance added [ohm]."""

    row: int
    ohm: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.ohm) and self.ohm >= 0):
            raise NetworkError(f"resistance added must be 0 or more, got {self.ohm}")


@dataclass(frozen=True, slots=True)
class Turned:
    """A branch whose force acts the other way round: a battery reversed."""

    row: int


@dataclass(frozen=True, slots=True)
class Joined:
    """Two nodes joined by a resistance [ohm]: a short to ground, or to a neighbour."""

    one: int
    other: int
    ohm: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.ohm) and self.ohm >= LEAST_OHM):
            raise NetworkError(f"resistance of a short must be {LEAST_OHM} ohm or more, got {self.ohm}")


Change = Opened | Worsened | Turned | Joined


def changed(net: LinearNet, *changes: Change) -> LinearNet:
    """The network anew with these changes: what updates are held against, and what stands in where they would fail.

    Parameters
    ----------
    net : LinearNet
    *changes

    Examples
    --------
    >>> loop = LinearNet(2, 0, np.array([0, 1]), np.array([1, 0]), np.array([1.0, 2.0]), np.array([12.0, 0.0]))
    >>> changed(loop, Opened(1), Turned(0)).emf_v.tolist()
    [-12.0]
    """
    conductance_s, emf_v = net.conductance_s.copy(), net.emf_v.copy()
    stays = np.ones(len(net.start), dtype=np.bool_)
    joins: list[Joined] = []
    for change in changes:
        match change:
            case Opened(row):
                stays[row] = False
            case Worsened(row, ohm):
                conductance_s[row] = 1.0 / (1.0 / conductance_s[row] + ohm)
            case Turned(row):
                emf_v[row] = -emf_v[row]
            case Joined():
                joins.append(change)
    return LinearNet(
        net.nodes,
        net.reference,
        np.concatenate((net.start[stays], np.array([join.one for join in joins], dtype=np.int64))),
        np.concatenate((net.end[stays], np.array([join.other for join in joins], dtype=np.int64))),
        np.concatenate((conductance_s[stays], np.array([1.0 / join.ohm for join in joins]))),
        np.concatenate((emf_v[stays], np.zeros(len(joins)))),
    )
