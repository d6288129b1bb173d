"""Which bus of a panel a circuit's fuse belongs on."""

from __future__ import annotations

from circuits.plan import BUSES, Circuit, Plan


def buses_of(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Names by which a panel may call the bus of each circuit, the plainest first.

    A circuit fed by another is on the bus which that one hangs on, as long as nothing is switched on the way. Where a
    switch or relay is passed, what comes after it is a bus of its own: that which the switch is named for
    (``ignition:run``), and always the circuit's name.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from circuits.plan import Kind, Vehicle
    >>> main = Circuit("main feed", "engine", "battery", "battery", "panel", ("panel",), Kind.FEEDER, load_a=40.0)
    >>> radio = Circuit("radio", "dash", "main feed", "panel", "radio", ("dash",), Kind.ELECTRONICS, load_a=2.0)
    >>> buses_of(Plan(Vehicle(), (), (), (main, radio)))["radio"]
    ('battery', 'main feed')
    """
    by_name = {circuit.name: circuit for circuit in plan.circuits}
    return {circuit.name: _buses(circuit, by_name) for circuit in plan.circuits}


def _buses(circuit: Circuit, by_name: dict[str, Circuit]) -> tuple[str, ...]:
    passed: dict[str, None] = {}
    at = circuit
    while at.feed not in passed:
        passed[at.feed] = None
        feed = by_name.get(at.feed) if at.is_fed_by_circuit else None
        if feed is None:
            break
        if feed.switch_at or feed.relay_at:
            function = feed.switch.partition(":")[0].strip().casefold()
            if function in BUSES:
                passed[function] = None
            break
        at = feed
    return tuple(reversed(passed))
