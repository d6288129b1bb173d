"""The optimum seating of fuses at positions, by integer programming (HiGHS)."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from circuits.fittings import PanelPosition
from circuits.sized import Fuse


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
    fixed = _fixed(positions, sitters)
    free = [s for s in range(len(sitters)) if s not in fixed.values()]
    pairs = [
        (s, p)
        for s in free
        for p in range(len(positions))
        if not positions[p].circuit and takes(positions[p], sitters[s])
    ]
    at = dict(fixed)
    if pairs:
        at |= _solve(positions, sitters, sat, fixed, pairs)
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


def _solve(
    positions: Sequence[PanelPosition],
    sitters: Sequence[Sitter],
    sat: Mapping[str, str],
    fixed: Mapping[int, int],
    pairs: Sequence[tuple[int, int]],
) -> dict[int, int]:
    """Columns: one a pair that suits, then one a pair of neighbours that may both be heavy."""
    heavy_columns: dict[int, list[int]] = {p: [] for p in range(len(positions))}
    of_sitter: dict[int, list[int]] = {}
    of_position: dict[int, list[int]] = {}
    for column, (s, p) in enumerate(pairs):
        of_sitter.setdefault(s, []).append(column)
        of_position.setdefault(p, []).append(column)
        if sitters[s].is_heavy:
            heavy_columns[p].append(column)
    heavy_fixed = {p for p, s in fixed.items() if sitters[s].is_heavy}
    beside = [
        (p, q)
        for p, q in itertools.pairwise(range(len(positions)))
        if (heavy_columns[p] or p in heavy_fixed) and (heavy_columns[q] or q in heavy_fixed)
    ]
    rows = [(columns, 1.0) for columns in (*of_sitter.values(), *of_position.values())]
    slack = len(pairs)
    for edge, (p, q) in enumerate(beside):
        limit = 1.0 - (p in heavy_fixed) - (q in heavy_fixed)
        rows.append(([*heavy_columns[p], *heavy_columns[q], -(slack + edge) - 1], limit))
    costs = _costs(positions, sitters, sat, pairs, len(beside))
    chosen = _minimum(costs, rows)
    return {p: s for (s, p), taken in zip(pairs, chosen, strict=False) if taken}


def _costs(
    positions: Sequence[PanelPosition],
    sitters: Sequence[Sitter],
    sat: Mapping[str, str],
    pairs: Sequence[tuple[int, int]],
    edges: int,
) -> np.ndarray:
    """Weights that put one aim before the next: all that lower aims can save together is less than one of a higher."""
    count = len(sitters)
    heavy_pair = count + 1.0
    placed = heavy_pair * (edges + 1) + count + 1.0
    order = _disorder(pairs, len(positions))
    costs = np.empty(len(pairs) + edges)
    for column, (s, p) in enumerate(pairs):
        moved = sitters[s].fuse.name in sat and sat[sitters[s].fuse.name] != positions[p].label
        costs[column] = moved + order[column] / (2.0 * count) - placed
    costs[len(pairs) :] = heavy_pair
    return costs


def _disorder(pairs: Sequence[tuple[int, int]], positions: int) -> np.ndarray:
    """How far a pair is from keeping the fuses in their order, 0 to 1; no two pairs of a fuse are alike."""
    open_to: dict[int, list[int]] = {}
    for s, p in pairs:
        open_to.setdefault(s, []).append(p)
    rank: dict[tuple[int, ...], int] = {}
    wanted: dict[int, int] = {}
    for s, places in open_to.items():
        nth = rank.setdefault(tuple(places), 0)
        rank[tuple(places)] += 1
        wanted[s] = places[min(nth, len(places) - 1)]
    away = np.array([abs(p - wanted[s]) + (0.25 if p > wanted[s] else 0.0) for s, p in pairs])
    return away / (positions + 1.0)


def _minimum(costs: np.ndarray, rows: Sequence[tuple[Sequence[int], float]]) -> list[bool]:
    """Columns chosen; in a row a negative entry ``-c - 1`` stands for column ``c`` with the opposite sign."""
    at_row = [r for r, (columns, _) in enumerate(rows) for _ in columns]
    at_column = [c if c >= 0 else -c - 1 for columns, _ in rows for c in columns]
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
