"""Which circuit feeds which, and how much of the drop each may use.

A feeder ends at a panel, and the panel is where the supply of what it feeds starts: each circuit has its drop limit
from there, and the feeder has one of its own (AC 43.13-1B chapter 11 likewise parts the main feeder, 2 %, from bus to
load).

A circuit that is tapped for another, on one fuse, is no such start: the drop goes on. It is given a share of what is
left for the tightest circuit behind the tap, and that allowance is set apart for it: the circuits behind count on the
allowance, not on the lesser drop the tapped one may turn out to have. So a larger load, which may make the tapped
circuit thicker by a whole size, never lets a wire behind it become thinner.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuits.plan import Circuit, Kind


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


def tapped_by(circuit: Circuit, circuits: Mapping[str, Circuit]) -> str:
    """Name of the circuit whose drop goes on in this one; empty where a bus or a feeder's panel is its start."""
    name = feeder_of(circuit, circuits)
    return name if name and circuits[name].kind is not Kind.FEEDER else ""


def allowances_percent(circuits: Mapping[str, Circuit], order: tuple[str, ...], tap_share: float) -> dict[str, float]:
    """Drop allowed up to where each tapped circuit is tapped, circuits before it included [% of the system voltage].

    Parameters
    ----------
    circuits : mapping of str to Circuit
    order : tuple of str
        As ``feeding_order`` gives it.
    tap_share : float
        Share of what is left for the tightest circuit behind the tap that one circuit may use.

    Returns
    -------
    dict of str to float
        No entry for a feeder, or for a circuit that is not tapped.

    Examples
    --------
    >>> dials = Circuit("dials", "dash", "ignition", "panel", "gauges", ("dash",), Kind.ELECTRONICS, load_a=1.0)
    >>> oil = Circuit("oil", "bay", "dials", "dash", "sender", ("engine",), Kind.SENDER, load_a=0.1, safety=True)
    >>> allowed = allowances_percent({"dials": dials, "oil": oil}, ("dials", "oil"), 0.4)
    >>> {name: round(limit, 2) for name, limit in allowed.items()}
    {'dials': 1.2}
    """
    tightest: dict[str, float] = {}
    for name in reversed(order):
        tapped = tapped_by(circuits[name], circuits)
        if tapped:
            below = min(circuits[name].drop_limit_percent, tightest.get(name, float("inf")))
            tightest[tapped] = min(below, tightest.get(tapped, float("inf")))
    allowed: dict[str, float] = {}
    for name in order:
        if name in tightest:
            used = allowed.get(tapped_by(circuits[name], circuits), 0.0)
            share = used + tap_share * (tightest[name] - used)
            allowed[name] = min(circuits[name].drop_limit_percent, share)
    return allowed
