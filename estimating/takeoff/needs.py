"""One thing that one cause asks for, and how such needs are gathered into the lines of the take-off."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimating.takeoff.parts import Part, PartKind, Unit


@dataclass(frozen=True, slots=True)
class Need:
    """A quantity of one part with its cause.

    Parameters
    ----------
    kind, spec, quantity, unit : PartKind, str, float, Unit
        As in ``Part``.
    circuits : tuple of str
        Circuits that ask for it; empty where the whole loom does.
    order : float
        Sorts specs of a kind as a buyer reads them: area, rating or diameter, small to large.
    """

    kind: PartKind
    spec: str
    quantity: float
    unit: Unit
    circuits: tuple[str, ...]
    order: float = 0.0


def gather(needs: Iterable[Need], circuit_order: Sequence[str]) -> tuple[Part, ...]:
    """Adds needs of the same kind, spec and unit together.

    Sums are exact (``math.fsum``), so that they do not depend on the order of the needs.

    Parameters
    ----------
    needs : iterable of Need
        Needs of quantity 0 are left out.
    circuit_order : sequence of str
        Names of the plan's circuits, in plan order.

    Returns
    -------
    tuple of Part
        By kind, then small to large, then by spec.

    Examples
    --------
    >>> fuse = Need(PartKind.FUSE, "blade 15 A", 1, Unit.PIECE, ("horn",), 15)
    >>> [(part.spec, part.quantity) for part in gather([fuse, fuse], ["horn"])]
    [('blade 15 A', 2.0)]
    """
    found: dict[tuple[PartKind, str, Unit], list[Need]] = {}
    for need in needs:
        if need.quantity > 0:
            found.setdefault((need.kind, need.spec, need.unit), []).append(need)
    rank = {name: index for index, name in enumerate(circuit_order)}
    kinds = {kind: index for index, kind in enumerate(PartKind)}
    keys = sorted(found, key=lambda key: (kinds[key[0]], min(need.order for need in found[key]), key[1]))
    return tuple(_part(key, found[key], rank) for key in keys)


def _part(key: tuple[PartKind, str, Unit], needs: list[Need], rank: dict[str, int]) -> Part:
    circuits = {name for need in needs for name in need.circuits}
    return Part(
        kind=key[0],
        spec=key[1],
        quantity=math.fsum(need.quantity for need in needs),
        unit=key[2],
        circuits=tuple(sorted(circuits, key=lambda name: rank.get(name, len(rank)))),
    )
