"""Relays that take the load off a switch which is not rated for it: where to put them, and the plan with them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from circuits.electrical.contacts import Contact, ContactLoad, ContactLoads, worst_position
from circuits.plan import Circuit, Kind, Plan


def relays_that_cure(contact: Contact, loads: ContactLoads) -> Mapping[str, str]:
    """Where to put relays so that a switch holds: place by name of circuit, the heaviest first, no more than needed.

    Parameters
    ----------
    contact : Contact
        A switch.
    loads : ContactLoads
        Of its plan.

    Returns
    -------
    mapping of str to str
        Empty where relays do not help, or it holds already.
    """
    if contact.is_relay or contact.holds or contact.rated_a is None:
        return {}
    users = [loads.ways.circuits[name] for name in contact.circuits]
    chosen: dict[str, str] = {}
    while True:
        _, asked = worst_position(users, loads, chosen)
        if sum(load.needed_a for load in asked) <= contact.rated_a * (1 + 1e-9):
            return chosen
        open_ = [
            one for one in users if _can_be_relayed(one) and one.name not in chosen and _is_asked(one, asked, loads)
        ]
        if not open_:
            return {}
        heaviest = max(open_, key=lambda one: sum(load.needed_a for load in loads.of_load(one)))
        chosen[heaviest.name] = heaviest.fed_at


def _can_be_relayed(circuit: Circuit) -> bool:
    return not circuit.relay_at and circuit.kind is not Kind.SENDER


def _is_asked(circuit: Circuit, asked: Sequence[ContactLoad], loads: ContactLoads) -> bool:
    return set(loads.of_load(circuit)) <= set(asked)


def with_relays(plan: Plan, relays: Mapping[str, str]) -> Plan:
    """The plan with relays added.

    Parameters
    ----------
    plan : Plan
    relays : mapping of str to str
        Place of the relay by name of circuit.

    Examples
    --------
    >>> from circuits.plan import Run, Vehicle
    >>> fog = Circuit("fog", "front", "battery", "panel", "fog lamp", ("nose",), Kind.LAMP, load_w=55.0)
    >>> with_relays(Plan(Vehicle(), (), (Run("panel", "nose", 2.0),), (fog,)), {"fog": "panel"}).circuits[0].relay_at
    'panel'
    """
    changed = tuple(replace(one, relay_at=relays.get(one.name, one.relay_at)) for one in plan.circuits)
    return replace(plan, circuits=changed)
