"""Supply stage, relayed load: the load current passes a relay, and the switch only drives its coil.

Terminals by DIN 72552: power in at 30, out at 87; coil fed at 86, to ground at 85. A relay without a
switch has its coil fed straight from where the supply starts.

The coil always has a control fuse of its own: its thin lead need not stand the load's fuse, a short in the lead
leaves the load's fuse whole, and no load, however large, changes the control lead.
"""

from __future__ import annotations

from circuits.patterns.draft import Draft, ground_end
from circuits.patterns.pattern import Pattern
from circuits.patterns.switched import switch_end, switch_states
from circuits.plan import Duty, FuseFamily
from circuits.wiring import End, Lands, Protection, Role

HEAVY_FAMILIES = (FuseFamily.MAXI_BLADE, FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK)
"""Families too large or too slow for a coil's wires."""


def _draw(draft: Draft) -> None:
    draft.use(_terminal(draft, "30"), draft.supply_a)
    draft.shared.append(draft.add_load_wire(Role.RELAY_POWER, draft.start, _terminal(draft, "30"), draft.supply_a))
    _draw_coil(draft)
    draft.source, draft.trunk_role = _terminal(draft, "87"), Role.LOAD
    draft.contacts += 1


def _terminal(draft: Draft, terminal: str) -> End:
    name = draft.circuit.name
    return draft.end(Lands.RELAY, draft.circuit.relay_at, f"relay: {name}", key=name, terminal=terminal)


def _draw_coil(draft: Draft) -> None:
    circuit, coil_a = draft.circuit, draft.site.rules.sizing.coil_a
    start, fuse = _control_fuse(draft)
    if circuit.switch_at:
        switch = switch_end(draft)
        draft.use(switch, coil_a, switch_states(circuit))
        draft.add_wire(Role.RELAY_COIL, start, switch, coil_a, fuse=fuse)
        start = switch
    draft.add_wire(Role.RELAY_COIL, start, _terminal(draft, "86"), coil_a, fuse=fuse)
    _ground_coil(draft, fuse)


def _control_fuse(draft: Draft) -> tuple[End, str]:
    """The control fuse: where the coil's feed starts, and its name."""
    circuit, sizing = draft.circuit, draft.site.rules.sizing
    usual = sizing.fuse_family
    fuse = Protection(
        name=draft.site.coil_fuse_name(circuit),
        circuit=circuit.name,
        at=circuit.fed_at,
        family=FuseFamily.BLADE if usual in (*HEAVY_FAMILIES, FuseFamily.NONE) else usual,
        forced_a=None,
        load_a=sizing.coil_a,
        continuous=circuit.duty is Duty.CONTINUOUS,
    )
    draft.protections.append(fuse)
    start = draft.end(Lands.FUSE, circuit.fed_at, f"fuse: {fuse.name}")
    draft.use(start, fuse.load_a)
    return start, fuse.name


def _ground_coil(draft: Draft, fuse: str) -> None:
    """85 to ground at the relay; on a body that cannot conduct, to where the circuit's return ends."""
    circuit, coil_a = draft.circuit, draft.site.rules.sizing.coil_a
    by_chassis = draft.site.plan.vehicle.chassis_return
    ground = ground_end(draft, circuit.relay_at if by_chassis else (circuit.ground_at or circuit.fed_at))
    draft.use(ground, coil_a)
    path = draft.pigtail_to(ground, circuit.relay_at)
    draft.add_wire(Role.RELAY_COIL, _terminal(draft, "85"), ground, coil_a, path=path, fuse=fuse)


RELAYED = Pattern("relayed load", lambda draft: bool(draft.circuit.relay_at), _draw)
