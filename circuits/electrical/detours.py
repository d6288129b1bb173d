"""Another way for a circuit: longer, but cooler or without a stretch that moves, and what that does to its wires.

Wires take the shortest way. Where the gentlest one (``circuits.rules.RouteRules``) is another, the circuit is laid
along it and sized anew, everything else staying as it is, so that the two can be compared.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from circuits.electrical.conductors import copper_area_mm2, stocked_conductors
from circuits.electrical.sizing import size_wiring
from circuits.harness.routes import Router
from circuits.patterns import expand
from circuits.patterns.expansion import with_bundles
from circuits.plan import Plan
from circuits.rules import BuildRules, RouteBy
from circuits.sized import SizedPlan, SizedWire
from circuits.wiring import Wire, Wiring


@dataclass(frozen=True, slots=True)
class Detour:
    """One circuit's other way.

    Parameters
    ----------
    circuit : str
    places : tuple of str
        The other way of its wire that differs most, place by place.
    longer_m : float
        By how much that one's way is longer [m].
    cooler_k : float
        By how much its hottest stretch is cooler [K].
    is_still : bool
        True where the shortest way moves and the other does not.
    thinner : int
        Stocked sizes by which its wire gets thinner; below 0 where it gets thicker.
    before, after : tuple of SizedWire
        The circuit's new wires, as they are and along the other way.
    """

    circuit: str
    places: tuple[str, ...]
    longer_m: float
    cooler_k: float
    is_still: bool
    thinner: int
    before: tuple[SizedWire, ...]
    after: tuple[SizedWire, ...]


def detours(sized: SizedPlan) -> tuple[Detour, ...]:
    """The other way of every circuit that has one which is cooler or moves less, in plan order.

    Parameters
    ----------
    sized : SizedPlan
        Routed by the shortest way; where the shop routes by the gentlest there is nothing to show.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Run, Vehicle
    >>> hot, cool = Run("panel", "fan", 1.0, "near exhaust"), (Run("panel", "sill", 0.6), Run("sill", "fan", 0.6))
    >>> fan = Circuit("fan", "front", "battery", "panel", "fan", ("fan",), Kind.MOTOR, load_a=20.0)
    >>> [found] = detours(size_plan(Plan(Vehicle(), (), (hot, *cool), (fan,))))
    >>> found.places, round(found.longer_m, 3), found.cooler_k, found.thinner
    (('panel', 'sill', 'fan'), 0.2, 80.0, 4)
    """
    rules = sized.rules
    if rules.routes.route_by is not RouteBy.SHORTEST:
        return ()
    gentle = replace(rules, routes=replace(rules.routes, route_by=RouteBy.GENTLEST))
    plan = sized.wiring.plan
    if not _ways_differ(sized, Router(plan, gentle.routes)):
        return ()
    other = expand(plan, gentle)
    new_wires: dict[str, list[Wire]] = {}
    for wire in other.wires:
        new_wires.setdefault(wire.circuit, []).append(wire)
    found = []
    for circuit in sized.circuits:
        name = circuit.circuit.name
        before = tuple(wire for wire in circuit.wires if not wire.wire.is_existing)
        if before and _ways(w.wire for w in circuit.wires) != _ways(new_wires.get(name, ())):
            after = _along(sized.wiring, other, name, rules)
            detour = _compared(name, plan, before, after, rules)
            if detour is not None:
                found.append(detour)
    return tuple(found)


def _ways(wires: Iterable[Wire]) -> list[tuple[int, ...]]:
    return [wire.path.runs for wire in wires]


def _ways_differ(sized: SizedPlan, gentle: Router) -> bool:
    """True where the gentlest way between the ends of any new wire is not its own: a quick look before any sizing."""
    ends = {(w.wire.path.places[0], w.wire.path.places[-1], w.wire.path.runs) for w in sized.wires}
    return any(start != end and gentle.path(start, end).runs != runs for start, end, runs in ends)


def _along(wiring: Wiring, other: Wiring, circuit: str, rules: BuildRules) -> tuple[SizedWire, ...]:
    """The circuit's new wires along its other way; it is sized with those that feed it and those it feeds."""
    moved = [wire for wire in other.wires if wire.circuit == circuit]
    staying = [wire for wire in wiring.wires if wire.circuit != circuit]
    wires = with_bundles([*staying, *moved], len(wiring.plan.runs))
    near = _fed_together(wiring.plan, circuit)
    plan = replace(
        wiring.plan,
        circuits=tuple(one for one in wiring.plan.circuits if one.name in near),
        connectors=(),
        cavities=(),
        mountings=(),
        positions=(),
    )
    part = Wiring(
        plan=plan,
        wires=tuple(wire for wire in wires if wire.circuit in near),
        protections=tuple(fuse for fuse in wiring.protections if fuse.circuit in near),
        paths=(
            *(path for path in wiring.paths if path.circuit in near and path.circuit != circuit),
            *(path for path in other.paths if path.circuit == circuit),
        ),
        devices=(),
        findings=(),
    )
    sized = size_wiring(part, rules)
    return tuple(w for w in sized.wires if w.wire.circuit == circuit and not w.wire.is_existing)


def _fed_together(plan: Plan, circuit: str) -> set[str]:
    """The circuit, those upstream of it, and those downstream."""
    feeds = {one.name: one.feed for one in plan.circuits}
    near, at = {circuit}, circuit
    while (at := feeds.get(at, "")) in feeds and at not in near:
        near.add(at)
    waiting = [circuit]
    while waiting:
        of = waiting.pop()
        fed = [name for name, feed in feeds.items() if feed == of and name not in near]
        near.update(fed)
        waiting += fed
    return near


def _compared(
    name: str, plan: Plan, before: Sequence[SizedWire], after: Sequence[SizedWire], rules: BuildRules
) -> Detour | None:
    """The comparison by the wire whose way is made longest; None where no wire's way is cooler or moves less."""
    others = {wire.wire.name: wire for wire in after}
    pairs = [(wire, others[wire.wire.name]) for wire in before if wire.wire.name in others]
    gentler = [(was, becomes) for was, becomes in pairs if _is_gentler(plan, was, becomes)]
    if not gentler:
        return None
    was, becomes = max(gentler, key=lambda pair: pair[1].wire.path.length_m)
    steps = [size.label for size in stocked_conductors(rules.sizing)]
    return Detour(
        circuit=name,
        places=becomes.wire.path.places,
        longer_m=becomes.wire.path.length_m - was.wire.path.length_m,
        cooler_k=was.wire.path.ambient_c - becomes.wire.path.ambient_c,
        is_still=_moves(plan, was) and not _moves(plan, becomes),
        thinner=_steps_between(was, becomes, steps),
        before=tuple(before),
        after=tuple(after),
    )


def _is_gentler(plan: Plan, was: SizedWire, becomes: SizedWire) -> bool:
    cooler = becomes.wire.path.ambient_c < was.wire.path.ambient_c
    return cooler or (_moves(plan, was) and not _moves(plan, becomes))


def _moves(plan: Plan, sized: SizedWire) -> bool:
    return any(plan.runs[run].moves for run in sized.wire.path.runs)


def _steps_between(was: SizedWire, becomes: SizedWire, stocked: Sequence[str]) -> int:
    if was.conductor.label in stocked and becomes.conductor.label in stocked:
        return stocked.index(was.conductor.label) - stocked.index(becomes.conductor.label)
    thinner = copper_area_mm2(was.conductor) - copper_area_mm2(becomes.conductor)
    return (thinner > 0) - (thinner < 0)
