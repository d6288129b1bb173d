"""The optimum seating of fuses at positions, by integer programming (HiGHS)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from circuits.fittings import PanelPosition
from circuits.plan import FuseFamily
from circuits.sized import Fuse

PLUGGED = (FuseFamily.BLADE, FuseFamily.MINI_BLADE, FuseFamily.MAXI_BLADE, FuseFamily.GLASS)
"""Families that are plugged side by side; the others stand on studs of their own, apart and without spares."""


@dataclass(frozen=True, slots=True)
class Sitter:
    """A fuse that wants a position.

    Parameters
    ----------
    fuse : Fuse
    load_a : float
        What it carries [A].
    buses : tuple of str
        Names of the bus it belongs on, the plainest first.
    is_heavy : bool
    """

    fuse: Fuse
    load_a: float
    buses: tuple[str, ...]
    is_heavy: bool

    @property
    def bus(self) -> str:
        """The plainest name of its bus."""
        return self.buses[0]

    @property
    def is_plugged(self) -> bool:
        """True where it is plugged in beside others."""
        return self.fuse.family in PLUGGED


@dataclass(frozen=True, slots=True)
class Seat:
    """A position with what sits there; None = spare."""

    position: PanelPosition
    sitter: Sitter | None


def takes(position: PanelPosition, sitter: Sitter) -> bool:
    """True where the position is on the fuse's bus and takes its family and rating."""
    return (
        position.bus in sitter.buses
        and position.family in ("", sitter.fuse.family)
        and (position.max_a is None or sitter.fuse.rating_a <= position.max_a)
    )


def seated(positions: Sequence[PanelPosition], sitters: Sequence[Sitter], sat: Mapping[str, str]) -> list[Seat]:
    """Seat the fuses: most placed, then fewest heavy neighbours, then fewest moved, then in order.

    Parameters
    ----------
    positions : sequence of PanelPosition
        In their order; one beside the next are neighbours. One that names a circuit is kept for that circuit's fuse,
        whether it suits or not.
    sitters : sequence of Sitter
    sat : mapping of str to str
        Label of the position where a fuse sat before, by its name.

    Returns
    -------
    list of Seat
        One a position, in their order.
    """
    at = _fixed(positions, sitters)
    alike = _alike(positions, sitters, sat, set(at.values()))
    if alike:
        heavy = {p for p, s in at.items() if sitters[s].is_heavy}
        for members, places in _solve(positions, alike, heavy):
            at |= dict(zip(places, members, strict=False))
    return [Seat(position, sitters[at[p]] if p in at else None) for p, position in enumerate(positions)]


def _fixed(positions: Sequence[PanelPosition], sitters: Sequence[Sitter]) -> dict[int, int]:
    """Fuse by position, where the plan says so."""
    by_name = {sitter.fuse.name: s for s, sitter in enumerate(sitters)}
    found: dict[int, int] = {}
    for p, position in enumerate(positions):
        sitter = by_name.get(position.circuit) if position.circuit else None
        if sitter is not None and sitter not in found.values():
            found[p] = sitter
    return found


@dataclass(frozen=True, slots=True)
class _Alike:
    """Fuses that may change places with each other unnoticed: of these it is chosen where they sit, not which where.

    Parameters
    ----------
    members : tuple of int
        Indices of the sitters, in order.
    open_to : tuple of int
        Positions that take them.
    wanted : tuple of int
        Positions that keep the members in the order of all that are open to the same.
    is_heavy : bool
    sat : str
        Label of the position where the one member sat before; empty where it sat nowhere.
    """

    members: tuple[int, ...]
    open_to: tuple[int, ...]
    wanted: tuple[int, ...]
    is_heavy: bool
    sat: str

    def disorder(self, position: int) -> float:
        """How far a position is from those wanted; of two as far the earlier is better."""
        return min(abs(position - w) + (0.25 if position > w else 0.0) for w in self.wanted)


def _alike(
    positions: Sequence[PanelPosition], sitters: Sequence[Sitter], sat: Mapping[str, str], seated_already: set[int]
) -> list[_Alike]:
    """Groups of the fuses still to be seated, those without any position left out."""
    ranks: dict[tuple[int, ...], int] = {}
    groups: dict[tuple[tuple[int, ...], bool, str], list[tuple[int, int]]] = {}
    for s, sitter in enumerate(sitters):
        open_to = tuple(p for p, position in enumerate(positions) if not position.circuit and takes(position, sitter))
        if s in seated_already or not open_to:
            continue
        rank = ranks[open_to] = ranks.get(open_to, -1) + 1
        wanted = open_to[min(rank, len(open_to) - 1)]
        groups.setdefault((open_to, sitter.is_heavy, sat.get(sitter.fuse.name, "")), []).append((s, wanted))
    return [
        _Alike(tuple(s for s, _ in found), open_to, tuple(w for _, w in found), is_heavy, label)
        for (open_to, is_heavy, label), found in groups.items()
    ]


def _solve(
    positions: Sequence[PanelPosition], alike: Sequence[_Alike], heavy_fixed: set[int]
) -> list[tuple[tuple[int, ...], list[int]]]:
    """Places of each group. Columns: one a group and position, then one a pair of neighbours that may both be heavy."""
    pairs = [(g, p) for g, group in enumerate(alike) for p in group.open_to]
    of_group: dict[int, list[int]] = {}
    of_position: dict[int, list[int]] = {}
    heavy: dict[int, list[int]] = {}
    for column, (g, p) in enumerate(pairs):
        of_group.setdefault(g, []).append(column)
        of_position.setdefault(p, []).append(column)
        if alike[g].is_heavy:
            heavy.setdefault(p, []).append(column)
    can_be_heavy = heavy.keys() | heavy_fixed
    beside = [(p, p + 1) for p in range(len(positions) - 1) if p in can_be_heavy and p + 1 in can_be_heavy]
    rows = [(columns, float(len(alike[g].members))) for g, columns in of_group.items()]
    rows += [(columns, 1.0) for columns in of_position.values()]
    for edge, (p, q) in enumerate(beside):
        both = _opposite(len(pairs) + edge)
        rows.append(([*heavy.get(p, ()), *heavy.get(q, ()), both], 1.0 - (p in heavy_fixed) - (q in heavy_fixed)))
    chosen = _minimum(_costs(positions, alike, pairs, len(beside)), rows)
    return [
        (group.members, [p for (at, p), taken in zip(pairs, chosen, strict=False) if at == g and taken])
        for g, group in enumerate(alike)
    ]


def _costs(
    positions: Sequence[PanelPosition], alike: Sequence[_Alike], pairs: Sequence[tuple[int, int]], edges: int
) -> np.ndarray:
    """Weights that put one aim before the next: all that lower aims can save together is less than one of a higher."""
    count = sum(len(group.members) for group in alike)
    heavy_pair = count + 1.0
    placed = heavy_pair * (edges + 1) + count + 1.0
    costs = np.full(len(pairs) + edges, heavy_pair)
    for column, (g, p) in enumerate(pairs):
        moved = alike[g].sat not in ("", positions[p].label)
        costs[column] = moved + alike[g].disorder(p) / ((len(positions) + 1.0) * 2.0 * count) - placed
    return costs


def _opposite(column: int) -> int:
    """Stands for a column with the opposite sign."""
    return -column - 1


def _minimum(costs: np.ndarray, rows: Sequence[tuple[Sequence[int], float]]) -> list[bool]:
    """Columns chosen at the least cost, with the sum over each row's columns at most its limit."""
    at_row = [r for r, (columns, _) in enumerate(rows) for _ in columns]
    at_column = [c if c >= 0 else _opposite(c) for columns, _ in rows for c in columns]
    signs = [1.0 if c >= 0 else -1.0 for columns, _ in rows for c in columns]
    matrix = csr_array((signs, (at_row, at_column)), shape=(len(rows), len(costs)))
    limits = np.array([limit for _, limit in rows])
    found = milp(
        costs,
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, -np.inf, limits),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise ArithmeticError(f"a panel of {len(costs)} choices was not laid out: {found.message}")
    return [value > 0.5 for value in found.x]
