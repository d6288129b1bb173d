"""Which circuit feeds which, and how much of the drop each may use.

A feeder is given a share of what is left for the tightest circuit downstream of it, and that allowance
is set apart for it: the circuits it feeds count on the allowance, not on the lesser drop the feeder may
turn out to have. So a larger feeder load, which may make the feeder thicker by a whole size, never lets
a wire behind it become thinner.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuits.plan import Circuit


def feeding_order(circuits: Mapping[str, Circuit]) -> tuple[str, ...]:
    """Names of the circuits, each after the one that feeds it; plan order otherwise. A loop is cut where it is met.

    Parameters
    ----------
    circuits : mapping of str to Circuit
        By name. A feed that is not among them counts as a bus.

    Examples
    --------
    >>> from circuits.plan import Kind
    >>> lamp = Circuit("dip", "front", "main", "panel", "lamp", ("wing",), Kind.LAMP, load_w=55.0)
    >>> main = Circuit("main", "bay", "battery", "post", "panel", ("panel",), Kind.FEEDER, load_a=60.0)
    >>> feeding_order({"dip": lamp, "main": main})
    ('main', 'dip')
    """
    order: dict[str, None] = {}
    for name in circuits:
        chain: dict[str, None] = {}
        while name in circuits and name not in order and name not in chain:
            chain[name] = None
            name = circuits[name].feed
        order.update(dict.fromkeys(reversed(chain)))
    return tuple(order)


def feeder_of(circuit: Circuit, circuits: Mapping[str, Circuit]) -> str:
    """Name of the circuit that feeds this one; empty where a bus does, or nothing that is wired.

    Parameters
    ----------
    circuit : Circuit
    circuits : mapping of str to Circuit
        Those that are wired, by name.
    """
    return circuit.feed if circuit.feed in circuits and circuit.feed != circuit.name else ""


def allowances_percent(
    circuits: Mapping[str, Circuit], order: tuple[str, ...], feeder_share: float
) -> dict[str, float]:
    """Drop allowed at the end of each circuit that feeds others, circuits upstream included [% of the system voltage].

    Parameters
    ----------
    circuits : mapping of str to Circuit
    order : tuple of str
        As ``feeding_order`` gives it.
    feeder_share : float
        Share of what is left for the tightest circuit downstream that one feeder may use.

    Returns
    -------
    dict of str to float
        No entry for a circuit that feeds none.

    Examples
    --------
    >>> from circuits.plan import Kind
    >>> main = Circuit("main", "bay", "battery", "post", "panel", ("panel",), Kind.FEEDER, load_a=60.0)
    >>> lamp = Circuit("dip", "front", "main", "panel", "lamp", ("wing",), Kind.LAMP, load_w=55.0, safety=True)
    >>> allowed = allowances_percent({"main": main, "dip": lamp}, ("main", "dip"), 0.4)
    >>> {name: round(limit, 2) for name, limit in allowed.items()}
    {'main': 1.2}
    """
    tightest: dict[str, float] = {}
    for name in reversed(order):
        feeder = feeder_of(circuits[name], circuits)
        if feeder:
            below = min(circuits[name].drop_limit_percent, tightest.get(name, float("inf")))
            tightest[feeder] = min(below, tightest.get(feeder, float("inf")))
    allowed: dict[str, float] = {}
    for name in order:
        if name in tightest:
            used = allowed.get(feeder_of(circuits[name], circuits), 0.0)
            share = used + feeder_share * (tightest[name] - used)
            allowed[name] = min(circuits[name].drop_limit_percent, share)
    return allowed
