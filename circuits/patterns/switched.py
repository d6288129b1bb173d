"""Supply stage, switched load: the load current passes the switch on its way to the loads."""

from __future__ import annotations

import re

from circuits.patterns.draft import Draft
from circuits.patterns.pattern import Pattern
from circuits.plan import Circuit
from circuits.wiring import End, Lands, Role


def switch_states(circuit: Circuit) -> tuple[str, ...]:
    """Positions of the switch in which the circuit is on; one empty text where the plan names none.

    Examples
    --------
    >>> from circuits.plan import Kind
    >>> lamp = Circuit("side", "front", "lighting", "panel", "side lamp", ("wing",), Kind.LAMP, load_w=5.0,
    ...                switch_at="dash", switch="lights: side, head")
    >>> switch_states(lamp)
    ('side', 'head')
    """
    _, _, positions = circuit.switch.partition(":")
    states = tuple(dict.fromkeys(s.strip() for s in re.split(r"[,;/+]", positions) if s.strip()))
    return states or ("",)


def switch_end(draft: Draft) -> End:
    """The switch of the circuit: one device for all circuits that name its function at that place."""
    circuit = draft.circuit
    function = circuit.switch.partition(":")[0].strip() or circuit.name
    return draft.end(Lands.SWITCH, circuit.switch_at, f"switch: {function} at {circuit.switch_at}", key=function)


def _draw(draft: Draft) -> None:
    switch = switch_end(draft)
    draft.use(switch, draft.supply_a, switch_states(draft.circuit))
    draft.shared.append(draft.add_load_wire(Role.FEED, draft.start, switch, draft.supply_a))
    draft.source, draft.trunk_role = switch, Role.SWITCHED
    draft.contacts += 1


SWITCHED = Pattern("switched load", lambda draft: bool(draft.circuit.switch_at), _draw)
