"""Supply stage, relayed load: the load current passes a relay, and the switch only drives its coil.

Terminals by DIN 72552: power in at 30, out at 87; coil fed at 86, to ground at 85. A relay without a
switch has its coil fed straight from where the supply starts.
"""

from __future__ import annotations

from dataclasses import replace

from circuits.patterns.draft import Draft, ground_end
from circuits.patterns.pattern import Pattern
from circuits.patterns.protected import family_of, has_own_fuse
from circuits.patterns.switched import switch_end, switch_states
from circuits.plan import Duty, FuseFamily
from circuits.wiring import End, Lands, Protection, Role

LARGEST_SHARED_FUSE_A = 10.0
"""Largest fuse that may also protect the small wires of a relay coil [A] (common practice, no source)."""

HEAVY_FAMILIES = (FuseFamily.MAXI_BLADE, FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK)
"""Families too large or too slow for a coil's wires."""


def needs_control_fuse(draft: Draft) -> bool:
    """True where the coil gets a fuse of its own because the circuit's would be too large for its wires.

    That is so where load and coil need a fuse above ``LARGEST_SHARED_FUSE_A`` (about 7.5 A of continuous
    load, at 75 % of the rating), where the plan forces such a rating or a heavy family, and where no
    fuse protects the circuit at all. Else the coil shares the circuit's fuse.
    """
    circuit, sizing = draft.circuit, draft.site.rules.sizing
    share = sizing.continuous_share if circuit.duty is Duty.CONTINUOUS else sizing.intermittent_share
    if (draft.fused_a + sizing.coil_a) / share > LARGEST_SHARED_FUSE_A or draft.fuse is None:
        return True
    if not has_own_fuse(circuit):
        return False
    forced_a = circuit.fuse_a or 0.0
    return forced_a > LARGEST_SHARED_FUSE_A or family_of(circuit, draft.site.rules) in HEAVY_FAMILIES


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
    start, fuse = _coil_fuse(draft) if needs_control_fuse(draft) else _shared_fuse(draft)
    if circuit.switch_at:
        switch = switch_end(draft)
        draft.use(switch, coil_a, switch_states(circuit))
        draft.add_wire(Role.RELAY_COIL, start, switch, coil_a, fuse=fuse)
        start = switch
    draft.add_wire(Role.RELAY_COIL, start, _terminal(draft, "86"), coil_a, fuse=fuse)
    _ground_coil(draft, fuse)


def _shared_fuse(draft: Draft) -> tuple[End, str | None]:
    """Where the coil's feed starts when it shares the circuit's fuse, which then carries its current too."""
    coil_a = draft.site.rules.sizing.coil_a
    draft.use(draft.start, coil_a)
    draft.protections[:] = [replace(fuse, load_a=fuse.load_a + coil_a) for fuse in draft.protections]
    return draft.start, draft.fuse


def _coil_fuse(draft: Draft) -> tuple[End, str | None]:
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


def _ground_coil(draft: Draft, fuse: str | None) -> None:
    """85 to ground at the relay; on a body that cannot conduct, to where the circuit's return ends."""
    circuit, coil_a = draft.circuit, draft.site.rules.sizing.coil_a
    by_chassis = draft.site.plan.vehicle.chassis_return
    ground = ground_end(draft, circuit.relay_at if by_chassis else (circuit.ground_at or circuit.fed_at))
    draft.use(ground, coil_a)
    path = draft.pigtail_to(ground, circuit.relay_at)
    draft.add_wire(Role.RELAY_COIL, _terminal(draft, "85"), ground, coil_a, path=path, fuse=fuse)


RELAYED = Pattern("relayed load", lambda draft: bool(draft.circuit.relay_at), _draw)
