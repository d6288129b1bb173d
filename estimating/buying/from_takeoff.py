"""From a sized plan to what a job needs: every wire a cut of its own, everything else as the take-off counts it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from circuits.sized import SizedPlan, SizedWire
from estimating.buying.kinds import Kind, Measure
from estimating.buying.week import Need
from estimating.takeoff.needs import Need as Takeoff
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.takeoff import DEFAULT_RULES, needs_of
from estimating.takeoff.wires import wire_spec

JOINABLE = frozenset({PartKind.TAPE})
"""Kinds sold by length of which ends may be joined (common practice, no source)."""


def key_of(kind: PartKind, spec: str) -> str:
    """Key of a kind, as prices name it.

    Examples
    --------
    >>> key_of(PartKind.WIRE, "14 AWG RD")
    'wire 14 AWG RD'
    """
    return f"{kind} {spec}"


def job_needs(
    sized: SizedPlan, *, job: str, needed_by: date, rules: TakeoffRules = DEFAULT_RULES
) -> tuple[tuple[Kind, ...], tuple[Need, ...]]:
    """What a job needs, and the kinds of it.

    Parameters
    ----------
    sized : SizedPlan
    job : str
        Name of the job; begins every reference.
    needed_by : date
        Last day on which material may arrive.
    rules : TakeoffRules

    Returns
    -------
    tuple of Kind
    tuple of Need
        A wire's reference is ``<job>/<wire>``, so that the cut list finds it again.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> kinds, needs = job_needs(example_sized_plan(), job="J1", needed_by=date(2026, 3, 9))
    >>> needs[0].ref, needs[0].kind, needs[0].length_m
    ('J1/tail lamps/1', 'wire 16 AWG BN', 3.35)
    >>> len({need.ref for need in needs}) == len(needs)
    True
    """
    fresh = [wire for wire in sized.wires if not wire.wire.is_existing]
    others = [need for need in needs_of(sized, rules) if need.kind is not PartKind.WIRE and need.quantity > 0]
    kinds = {kind.key: kind for kind in (*_wire_kinds(fresh, sized), *(_kind(need, sized) for need in others))}
    cuts = [
        Need(
            f"{job}/{wire.wire.name}",
            key_of(PartKind.WIRE, wire_spec(wire)),
            needed_by,
            length_m=wire.wire.length_m,
            job=job,
            circuit=wire.wire.circuit,
        )
        for wire in fresh
    ]
    return tuple(kinds.values()), (*cuts, *_gathered(others, job, needed_by))


def _wire_kinds(wires: Iterable[SizedWire], sized: SizedPlan) -> Iterable[Kind]:
    for wire in wires:
        key = key_of(PartKind.WIRE, wire_spec(wire))
        class_c = float(sized.rules.sizing.insulation_class_c)
        yield Kind(key, Measure.CUTS, wire.conductor.area_mm2, class_c, wire.wire.colour)


def _kind(need: Takeoff, sized: SizedPlan) -> Kind:
    key = key_of(need.kind, need.spec)
    if need.unit is Unit.PIECE:
        return Kind(key, Measure.PARTS)
    if need.kind is PartKind.REPAIR_LENGTH:
        return Kind(key, Measure.CUTS, need.order or None, float(sized.rules.sizing.insulation_class_c))
    return Kind(key, Measure.METRES if need.kind in JOINABLE else Measure.CUTS)


def _gathered(needs: Iterable[Takeoff], job: str, needed_by: date) -> Iterable[Need]:
    """Equal pieces of one circuit together."""
    found: dict[tuple[str, str, float | None], float] = {}
    for need in needs:
        circuit = need.circuits[0] if need.circuits else ""
        length_m = None if need.unit is Unit.PIECE else need.quantity
        key = (key_of(need.kind, need.spec), circuit, length_m)
        found[key] = found.get(key, 0.0) + (need.quantity if length_m is None else 1.0)
    for number, ((name, circuit, length_m), count) in enumerate(found.items(), 1):
        yield Need(f"{job}/part {number}", name, needed_by, round(count), length_m, job, circuit)
