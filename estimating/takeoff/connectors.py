"""Connectors that are bought: both halves of a pair in the loom, the loom's half on a device; plugs for cavities."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.fittings import Connector, Half
from circuits.harness.connectors import Fittings, Junction
from estimating.takeoff.needs import Need
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.scope import Scope

SEALED = "sealed"
"""Word in the series or the notes of a connector whose unused cavities are plugged."""


def connector_needs(scope: Scope) -> Iterator[Need]:
    """Needs of the connectors in which a fresh wire sits, in plan order; contacts are counted with their wires.

    A body that only wires hold which stay in the vehicle stays too; the half of a device is part of the device, and a
    unit that brings bare leads has none.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> list(connector_needs(Scope.of(example_sized_plan())))
    []
    """
    fittings = Fittings(scope.sized.wiring.plan)
    if not fittings:
        return
    fresh: dict[str, dict[str, None]] = {}
    for sized in scope.fresh:
        for end in (sized.wire.start, sized.wire.end):
            if end.connector:
                fresh.setdefault(end.connector, {}).setdefault(sized.wire.circuit)
    for junction in fittings.junctions:
        causes = tuple(dict.fromkeys(name for half in junction.halves for name in fresh.get(half.name, ())))
        if causes:
            for body, half in _bought(junction):
                yield from _body(scope, fittings, body, half, causes)


def _bought(junction: Junction) -> tuple[tuple[Connector, Half], ...]:
    if junction.in_loom:
        return junction.sides
    body = junction.halves[0]
    return () if body.half is Half.LEADS else ((body, body.half),)


def _body(
    scope: Scope, fittings: Fittings, body: Connector, half: Half, causes: tuple[str, ...]
) -> Iterator[Need]:  # fmt: skip
    listed = fittings.cavities.get(body.name, ())
    ways = body.ways or len(listed)
    yield Need(PartKind.CONNECTOR, body_spec(body.series, half, ways, body.keying), 1, Unit.PIECE, causes, ways)
    used = sum(cavity.circuit in scope.circuits for cavity in listed)
    if SEALED in f"{body.series} {body.notes}".casefold() and ways > used:
        series = body.series or "unknown series"
        yield Need(PartKind.CAVITY_PLUG, series, ways - used, Unit.PIECE, causes)


def body_spec(series: str, half: Half, ways: int, keying: str = "") -> str:
    """What a buyer needs to know of a body.

    Parameters
    ----------
    series : str
        Empty = not known.
    half : Half
    ways : int
        0 = not known.
    keying : str
        Empty = none.

    Examples
    --------
    >>> body_spec("sealed 2.8", Half.SOCKET, 6, "A")
    'sealed 2.8, socket, 6-way, key A'
    """
    parts = (series or "unknown series", half.value, f"{ways}-way" if ways else "", f"key {keying}" if keying else "")
    return ", ".join(filter(None, parts))
