"""Protection stage: the circuit's own fuse where its supply starts, or that of the circuit that feeds it.

Which of the two is decided by ``has_own_fuse`` for the whole plan before anything is drawn, since a
circuit without a fuse needs to know which one upstream protects it.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuits.patterns.draft import Draft
from circuits.patterns.pattern import Pattern, always
from circuits.plan import Circuit, Duty, FuseFamily, Kind
from circuits.rules import BuildRules
from circuits.wiring import End, Lands, Protection


def has_own_fuse(circuit: Circuit) -> bool:
    """True where the circuit gets a fuse of its own at ``fed_at``.

    Every circuit does, except one whose ``fuse_family`` is none, and a sender fed by another circuit:
    it hangs on its gauge and shares the gauge's fuse, unless the plan forces one. A rating the plan
    forces counts as a wish for a fuse. A sender that names a bus gets a fuse, as nothing else would
    protect its wire.

    Examples
    --------
    >>> has_own_fuse(Circuit("temp", "engine", "gauges", "dash", "sender", ("block",), Kind.SENDER, load_a=0.1))
    False
    """
    if circuit.fuse_a is not None:
        return True
    if circuit.fuse_family is not None:
        return circuit.fuse_family is not FuseFamily.NONE
    return not (circuit.kind is Kind.SENDER and circuit.is_fed_by_circuit)


def fuse_names(circuits: Mapping[str, Circuit]) -> dict[str, str]:
    """Name of the fuse that protects each circuit: its own, else the nearest upstream; no entry if none does.

    Parameters
    ----------
    circuits : mapping of str to Circuit
        The circuits that are wired, by name; a feed outside it protects nothing.
    """
    found: dict[str, str] = {}
    for circuit in circuits.values():
        at: Circuit | None = circuit
        seen: set[str] = set()
        while at is not None and at.name not in seen and not has_own_fuse(at):
            seen.add(at.name)
            at = circuits.get(at.feed) if at.is_fed_by_circuit else None
        if at is not None and at.name not in seen:
            found[circuit.name] = at.name
    return found


def family_of(circuit: Circuit, rules: BuildRules) -> FuseFamily:
    """Family of the circuit's own fuse: the plan's, else the shop's usual one.

    A plan that forces a rating but says family none gets the usual family, and a shop whose usual
    family is none gets blade fuses: a fuse that is fitted has a family.
    """
    if circuit.fuse_family not in (None, FuseFamily.NONE):
        return circuit.fuse_family
    usual = rules.sizing.fuse_family
    return FuseFamily.BLADE if usual is FuseFamily.NONE else usual


def _own_fuse(draft: Draft) -> None:
    circuit = draft.circuit
    family = family_of(circuit, draft.site.rules)
    draft.protections.append(
        Protection(
            name=circuit.name,
            circuit=circuit.name,
            at=circuit.fed_at,
            family=family,
            forced_a=circuit.fuse_a,
            load_a=draft.fused_a,
            continuous=circuit.duty is Duty.CONTINUOUS,
        )
    )
    draft.source = draft.end(Lands.FUSE, circuit.fed_at, f"fuse: {circuit.name}")
    draft.use(draft.source, draft.fused_a)


def _shared_fuse(draft: Draft) -> None:
    circuit = draft.circuit
    draft.source = supply_end(draft, circuit.feed, circuit.fed_at)
    draft.use(draft.source, draft.fused_a)


def supply_end(draft: Draft, supply: str, place: str) -> End:
    """Where a bus, or the circuit named ``supply``, can be tapped at ``place``."""
    return draft.end(Lands.SUPPLY, place, f"supply: {supply} at {place}", key=supply)


OWN_FUSE = Pattern("own fuse", lambda draft: has_own_fuse(draft.circuit), _own_fuse)
FUSE_OF_FEED = Pattern("fuse of the feed", always, _shared_fuse)
