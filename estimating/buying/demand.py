"""Demand: what the jobs need, less what is set aside or on its way, and the jobs behind every line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from estimating.buying.kinds import BuyingError
from estimating.buying.week import Need, StockPiece


@dataclass(frozen=True, slots=True)
class Reservation:
    """Pieces of a need that are set aside already: counted parts in a bin, or cuts that are made."""

    need: str
    count: int

    def __post_init__(self) -> None:
        if self.count < 1:
            raise BuyingError(f"reservation for {self.need}: count must be 1 or more, got {self.count}")


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A line of an order that has not arrived, or not all of it.

    Parameters
    ----------
    ref : str
        Unique among the open lines.
    kind : str
    expected : date
    count : int
        Pieces, or rolls, still to come.
    length_m : float or None
        Of each roll [m]; None for counted parts.
    """

    ref: str
    kind: str
    expected: date
    count: int
    length_m: float | None = None


@dataclass(frozen=True, slots=True)
class DemandLine:
    """All needs of one kind by one date.

    Parameters
    ----------
    kind : str
    needed_by : date
    count : int
        Pieces or cuts.
    length_m : float
        Of all cuts together [m]; 0 for counted parts.
    needs : tuple of Need
        Those behind the line: they name jobs and circuits.
    """

    kind: str
    needed_by: date
    count: int
    length_m: float
    needs: tuple[Need, ...]


def less_reserved(needs: Iterable[Need], reservations: Iterable[Reservation]) -> tuple[Need, ...]:
    """Needs without what is set aside for them.

    Parameters
    ----------
    needs : iterable of Need
    reservations : iterable of Reservation

    Returns
    -------
    tuple of Need
        Those met in full are left out.

    Raises
    ------
    BuyingError
        For more set aside than is needed, or for a need that is not there.

    Examples
    --------
    >>> need = Need("a", "relay", date(2026, 3, 9), 4)
    >>> [left.count for left in less_reserved([need], [Reservation("a", 3)])]
    [1]
    """
    wanted = {need.ref: need for need in needs}
    left = {ref: need.count for ref, need in wanted.items()}
    for one in reservations:
        if one.need not in left:
            raise BuyingError(f"reservation for {one.need}: there is no such need")
        left[one.need] -= one.count
        if left[one.need] < 0:
            count = wanted[one.need].count
            raise BuyingError(f"need {one.need}: {count - left[one.need]} set aside, {count} are needed")
    return tuple(replace(need, count=left[ref]) for ref, need in wanted.items() if left[ref])


def arriving(lines: Iterable[OpenLine]) -> tuple[StockPiece, ...]:
    """What is on order, as stock that is there from the day it is expected: every roll a length of its own.

    Parameters
    ----------
    lines : iterable of OpenLine

    Returns
    -------
    tuple of StockPiece

    Examples
    --------
    >>> [piece.ref for piece in arriving([OpenLine("PO 7/1", "wire", date(2026, 3, 4), 2, 25.0)])]
    ['PO 7/1 #1', 'PO 7/1 #2']
    """
    pieces = []
    for line in lines:
        if line.length_m is None:
            pieces.append(StockPiece(line.ref, line.kind, count=line.count, available=line.expected))
            continue
        pieces += (
            StockPiece(f"{line.ref} #{number}", line.kind, line.length_m, available=line.expected)
            for number in range(1, line.count + 1)
        )
    return tuple(pieces)


def demand_lines(needs: Iterable[Need]) -> tuple[DemandLine, ...]:
    """Needs added up by kind and date; each line keeps those behind it.

    Parameters
    ----------
    needs : iterable of Need

    Returns
    -------
    tuple of DemandLine
        Soonest first, then by kind.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> [(line.kind, line.count, line.length_m) for line in demand_lines(example_week().needs)]
    [('relay', 6, 0.0), ('wire 14 AWG RD', 5, 18.0)]
    """
    found: dict[tuple[date, str], list[Need]] = {}
    for need in needs:
        found.setdefault((need.needed_by, need.kind), []).append(need)
    return tuple(
        DemandLine(
            kind,
            needed_by,
            sum(need.count for need in mine),
            fsum((need.length_m or 0.0) * need.count for need in mine),
            tuple(sorted(mine, key=lambda need: need.ref)),
        )
        for (needed_by, kind), mine in sorted(found.items())
    )


@dataclass(frozen=True, slots=True)
class Cover:
    """Counted parts of one line that a source covers; ``source`` is empty for what is still to be bought."""

    source: str
    count: int


def covers_of(line: DemandLine, earlier: int, stock: Iterable[StockPiece]) -> tuple[Cover, ...]:
    """How counted parts of a line are met from stock and open orders, for showing; the search shares out by itself.

    Parameters
    ----------
    line : DemandLine
    earlier : int
        Pieces of the kind that sooner dates have taken already.
    stock : iterable of StockPiece
        Of any kind; those that are there sooner are used up first.

    Returns
    -------
    tuple of Cover

    Examples
    --------
    >>> need = Need("a", "relay", date(2026, 3, 9), 5)
    >>> line = demand_lines([need])[0]
    >>> covers_of(line, 1, [StockPiece("bin 4", "relay", count=3)])
    (Cover(source='bin 4', count=2), Cover(source='', count=3))
    """
    there = sorted(
        (
            piece
            for piece in stock
            if piece.kind == line.kind and (piece.available is None or piece.available <= line.needed_by)
        ),
        key=lambda piece: (piece.available or date.min, piece.ref),
    )
    covers, wanted = [], line.count
    for piece in there:
        free = max(0, piece.count - earlier)
        earlier -= piece.count - free
        if take := min(free, wanted):
            covers.append(Cover(piece.ref, take))
            wanted -= take
    return (*covers, Cover("", wanted)) if wanted else tuple(covers)
