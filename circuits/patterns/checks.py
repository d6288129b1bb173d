"""What in a plan makes no sense before a wire is drawn: zones, feeds, places and routes.

One rule, one function. A rule whose finding leaves a circuit without wires is in ``BLOCKING``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.harness.routes import Router, nearest_name, unknown_zones
from circuits.plan import BUSES, Circuit, Plan, Return


@dataclass(frozen=True, slots=True)
class Survey:
    """What a rule may look at."""

    plan: Plan
    router: Router
    by_name: Mapping[str, Circuit]


Rule = Callable[[Circuit, Survey], Iterator[Finding]]


@dataclass(frozen=True, slots=True)
class Checked:
    """Names of the circuits that can be wired, and everything found."""

    sound: frozenset[str]
    findings: tuple[Finding, ...]


def check_plan(plan: Plan, router: Router) -> Checked:
    """Put every rule to every circuit that is to be wired."""
    survey = Survey(plan, router, {circuit.name: circuit for circuit in plan.circuits})
    sound: set[str] = set()
    findings = list(_unknown_zone(plan))
    for circuit in plan.circuits:
        if not circuit.disposition.is_wired:
            continue
        blocking = [found for rule in BLOCKING for found in rule(circuit, survey)]
        if not blocking:
            sound.add(circuit.name)
        findings += blocking
        findings += [found for rule in ADVISORY for found in rule(circuit, survey)]
    return Checked(frozenset(sound), tuple(findings))


def _unknown_zone(plan: Plan) -> Iterator[Finding]:
    for zone in unknown_zones(plan):
        yield finding("unknown-zone", "", f"zone {zone} has no temperature: its runs are taken at the hottest zone")


def _feed(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """unknown-feed, feed-cycle: followed upstream, every feed must end on a bus."""
    if not circuit.is_fed_by_circuit:
        return
    if circuit.feed not in survey.by_name:
        message = f"{circuit.name}: no bus or circuit is called {circuit.feed}"
        yield finding("unknown-feed", circuit.name, message, cure=_hint(circuit.feed, [*BUSES, *survey.by_name]))
        return
    passed, at = {circuit.name}, circuit
    while at.is_fed_by_circuit and at.feed in survey.by_name:
        if at.feed in passed:
            way = "itself" if at is circuit else f"{circuit.feed}, which leads back to {at.feed}"
            yield finding("feed-cycle", circuit.name, f"{circuit.name} is fed by {way}")
            return
        at = survey.by_name[at.feed]
        passed.add(at.name)


def _places(circuit: Circuit) -> dict[str, str]:
    """Places a circuit names, each with the first column that names it."""
    named: dict[str, str] = {}
    for column in ("fed_at", "switch_at", "relay_at", "ground_at"):
        if place := getattr(circuit, column):
            named.setdefault(place, column)
    for place in circuit.load_at:
        named.setdefault(place, "load_at")
    return named


def _unknown_place(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    for place, column in _places(circuit).items():
        if place not in survey.router:
            message = f"{circuit.name}: {column} is {place}, but no run leads there"
            yield finding("unknown-place", circuit.name, message, cure=_hint(place, survey.plan.places))


def _no_path(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    start = circuit.fed_at
    for place in _places(circuit):
        if start in survey.router and place in survey.router and not survey.router.is_joined(start, place):
            message = f"{circuit.name}: no run leads from {start} to {place}"
            yield finding("no-path", circuit.name, message, cure=f"Add the missing run between {start} and {place}.")


def _switch_without_place(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    if circuit.switch and not circuit.switch_at:
        message = f"{circuit.name}: nothing says where its switch {circuit.switch} is"
        yield finding("switch-without-place", circuit.name, message)


def _chassis_not_conductive(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    if not survey.plan.vehicle.chassis_return and circuit.return_by is Return.CHASSIS:
        message = f"{circuit.name} returns by the chassis, but this body cannot carry current: it is wired back"
        yield finding("chassis-not-conductive", circuit.name, message)


def _hint(name: str, known: list[str] | tuple[str, ...]) -> str:
    nearest = nearest_name(name, known)
    return f"Did you mean {nearest}?" if nearest else ""


BLOCKING: tuple[Rule, ...] = (_feed, _unknown_place, _no_path, _switch_without_place)
ADVISORY: tuple[Rule, ...] = (_chassis_not_conductive,)
