"""Sizing of a whole plan: plan in, sized plan out.

Fuses are rated from the loads, circuits are taken in the order in which they feed each other, each
gets its sizes (``one_circuit``), and the rules of ``checks`` look at the result. Everything is computed
from frozen values and nothing is changed, so the same plan and rules always give the same answer.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from circuits.electrical.checks import find
from circuits.electrical.fault_current import ohm_beyond
from circuits.electrical.feeding import allowances_percent, feeder_of, feeding_order, tapped_by
from circuits.electrical.fuse_loading import fuse_ambients_c, loading
from circuits.electrical.heat_checks import bundle_too_hot, hot_runs, with_heat
from circuits.electrical.limits import OwnLimits
from circuits.electrical.one_circuit import CircuitJob, Outcome, size_circuit
from circuits.electrical.protection import RatedProtection, rate
from circuits.electrical.whole_plan import find_in_plan
from circuits.harness.bundles import bundle_findings, bundles
from circuits.patterns import expand
from circuits.plan import Circuit, FuseFamily, Plan
from circuits.rules import BuildRules
from circuits.sized import SizedPlan
from circuits.wiring import CurrentPath, Wire, Wiring


def size_plan(plan: Plan, rules: BuildRules | None = None) -> SizedPlan:
    """Size every wire and fuse of a plan.

    Parameters
    ----------
    plan : Plan
    rules : BuildRules, optional
        The shop's ways; the defaults where not given.

    Returns
    -------
    SizedPlan
        Every circuit of the plan in plan order, those that are not wired without wires. What makes no
        sense is in ``findings``, the ones of the expansion first.

    Raises
    ------
    TableError
        If the rules name a size that no table holds.

    Examples
    --------
    >>> from circuits.plan import Circuit, Kind, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> sized = size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,)))
    >>> [(wire.wire.name, wire.conductor.label) for wire in sized.wires], sized.circuits[0].fuse.rating_a
    ([('horn/1', '18 AWG'), ('horn/2', '18 AWG')], 7.5)
    """
    rules = rules or BuildRules()
    return size_wiring(expand(plan, rules), rules)


def size_wiring(wiring: Wiring, rules: BuildRules | None = None) -> SizedPlan:
    """Size the wires and fuses of an expanded plan.

    Parameters
    ----------
    wiring : Wiring
        What ``circuits.patterns.expand`` made of a plan.
    rules : BuildRules, optional
        Those it was expanded by.

    Returns
    -------
    SizedPlan
        As ``size_plan``.

    Raises
    ------
    TableError
        If the rules name a size that no table holds.

    Examples
    --------
    >>> from circuits.plan import Vehicle
    >>> size_wiring(expand(Plan(Vehicle(), (), (), ()))).wires
    ()
    """
    rules = rules or BuildRules()
    fuses = _rated(wiring, rules)
    own = OwnLimits(rules.sizing, fuses, _by_name(wiring), tuple(run.covering for run in wiring.plan.runs))
    outcomes = _size_in_feeding_order(wiring, rules, fuses, own)
    circuits = tuple(outcomes[circuit.name].sized for circuit in wiring.plan.circuits)
    wires = tuple(wire for circuit in circuits for wire in circuit.wires)
    hot = hot_runs(wiring.plan, wires, own.is_cranking)
    lying = with_heat(bundles(wiring.plan, wires), hot)
    sized = SizedPlan(
        wiring=wiring,
        rules=rules,
        circuits=circuits,
        bundles=lying,
        fuses=tuple(rated.fuse for rated in fuses.values() if rated.fuse is not None),
        findings=(
            *wiring.findings,
            *find(tuple(outcomes[circuit.name] for circuit in wiring.plan.circuits)),
            *bundle_too_hot(wiring.plan, hot, rules.sizing),
            *bundle_findings(wiring.plan, lying),
        ),
    )
    return replace(sized, findings=(*sized.findings, *find_in_plan(sized)))


def _rated(wiring: Wiring, rules: BuildRules) -> dict[str, RatedProtection]:
    ambients_c = fuse_ambients_c(wiring.plan)
    kinds = {circuit.name: circuit.kind for circuit in wiring.plan.circuits}
    rated = {}
    for protection in wiring.protections:
        if protection.family is not FuseFamily.NONE:
            of_load = protection.name == protection.circuit
            kind = kinds.get(protection.circuit) if of_load else None  # a coil's fuse sees no inrush
            loaded = loading(protection, rules.sizing, kind, ambients_c.get(protection.at, 25.0))
            rated[protection.name] = rate(protection, rules.sizing, loaded)
    return rated


def _by_name(wiring: Wiring) -> dict[str, Circuit]:
    return {circuit.name: circuit for circuit in wiring.plan.circuits}


def _size_in_feeding_order(
    wiring: Wiring, rules: BuildRules, fuses: dict[str, RatedProtection], own: OwnLimits
) -> dict[str, Outcome]:
    wires: defaultdict[str, list[Wire]] = defaultdict(list)
    for wire in wiring.wires:
        wires[wire.circuit].append(wire)
    paths: defaultdict[str, list[CurrentPath]] = defaultdict(list)
    for path in wiring.paths:
        paths[path.circuit].append(path)
    own_fuses: defaultdict[str, list[RatedProtection]] = defaultdict(list)
    for fuse in fuses.values():
        own_fuses[fuse.protection.circuit].append(fuse)
    circuits = _by_name(wiring)
    wired = {name: circuit for name, circuit in circuits.items() if wires[name]}
    order = feeding_order(wired)
    allowances = allowances_percent(wired, order, rules.sizing.tap_drop_share)
    outcomes: dict[str, Outcome] = {}
    for name in (*order, *(name for name in circuits if name not in wired)):
        circuit = circuits[name]
        feeder = outcomes.get(feeder_of(circuit, wired))
        tapped = outcomes.get(tapped_by(circuit, wired))
        job = CircuitJob(
            circuit=circuit,
            vehicle=wiring.plan.vehicle,
            rules=rules.sizing,
            wires=tuple(wires[name]),
            paths=tuple(paths[name]),
            fuses=tuple(own_fuses[name]),
            allowance_percent=allowances.get(name),
            upstream_percent=tapped.set_apart_percent if tapped else 0.0,
            upstream_actual_percent=tapped.outward_percent if tapped else 0.0,
            supply_percent=feeder.supply_beyond_percent if feeder else 0.0,
            supply_ohm=ohm_beyond(feeder) if feeder else 0.0,
            above=(feeder.job.own_fuse or feeder.job.above) if feeder else None,
        )
        outcomes[name] = size_circuit(job, own)
    return outcomes
