"""Nets of one circuit: which of its wires are one conductor, however many pieces it is in."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from circuits.wiring import End, Lands, Wire


def nets(wires: Sequence[Wire]) -> list[list[Wire]]:
    """Wires of a circuit by net, in the order of the first wire of each.

    Wires are one net where they meet in a splice, a pair, a supply, a load's same side or a relay's same terminal; a
    switch and a relay's contact part them.

    Parameters
    ----------
    wires : sequence of Wire
        Of one circuit.

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0, switch_at="dash")
    >>> runs = (Run("panel", "dash", 0.5), Run("panel", "nose", 2.0))
    >>> [[wire.name for wire in net] for net in nets(expand(Plan(Vehicle(), (), runs, (horn,))).wires)]
    [['horn/1'], ['horn/2'], ['horn/3']]
    """
    net_of: dict[Hashable, list[Wire]] = {}
    for wire in wires:
        start, end = _node(wire.start, is_start=True), _node(wire.end, is_start=False)
        one, other = net_of.get(start, []), net_of.get(end, [])
        joined = [*one, *(other if other is not one else []), wire]
        for node in {start, end}.union(
            *({_node(w.start, is_start=True), _node(w.end, is_start=False)} for w in joined)
        ):
            net_of[node] = joined
    rank = {wire.name: number for number, wire in enumerate(wires)}
    found = {id(net): sorted(net, key=lambda wire: rank[wire.name]) for net in net_of.values()}
    return sorted(found.values(), key=lambda net: rank[net[0].name])


def _node(end: End, *, is_start: bool) -> Hashable:
    if end.lands is Lands.RELAY:
        return end.device, end.terminal
    if end.lands in (Lands.SWITCH, Lands.LOAD):
        return end.device, is_start
    return end.device
