"""The order of work: packages by stage and section, and what must be done before what.

The plain rule, until more is known of a vehicle: strip out, panel, pull, terminate, prove, cover, refit, and where
sections meet, three rules of the bench. A lead that crosses an opening is pulled through before its connector body goes
on; a device is wired before it is mounted; a run is covered when every wire that lies in it has been pulled (common
practice, no source).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from circuits.figures import format_diameter
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.plan import Circuit, Covering, Disposition, Plan
from circuits.wiring import Device, End, Lands, Wire, Wiring

WHOLE_VEHICLE = "whole vehicle"
"""Section of the work that belongs to no one section."""


class WorkStage(StrEnum):
    """Stages of the work, in the order a vehicle goes through them."""

    STRIP_OUT = "strip out"
    PANEL = "panel"
    PULL = "pull"
    TERMINATE = "terminate"
    PROVE = "prove"
    COVER = "cover"
    REFIT = "refit"


STAGES = tuple(WorkStage)
MOUNTED = (Lands.SWITCH, Lands.RELAY, Lands.LOAD)
"""Devices that are mounted after they are wired."""


@dataclass(frozen=True, slots=True, order=True)
class PackageKey:
    """Names a package: its stage in one section."""

    stage: WorkStage
    section: str

    def __str__(self) -> str:
        return f"{self.stage}: {self.section}"


@dataclass(frozen=True, slots=True)
class Before:
    """``first`` must be done before ``then``, and why."""

    first: PackageKey
    then: PackageKey
    why: str


@dataclass(frozen=True, slots=True)
class Package:
    """One package of work.

    Parameters
    ----------
    key : PackageKey
    circuits : tuple of str
        Circuits it is done for, in plan order: each is ticked on its own. Empty for work on the whole vehicle.
    notes : tuple of str
        What to mind inside the package.
    after : tuple of Before
        What must be done before it.
    """

    key: PackageKey
    circuits: tuple[str, ...]
    notes: tuple[str, ...]
    after: tuple[Before, ...]


@dataclass(frozen=True, slots=True)
class OrderOfWork:
    """Packages in an order in which they can lawfully be done, and what made no sense."""

    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]


def order_of_work(wiring: Wiring, own: Sequence[Before] = ()) -> OrderOfWork:
    """Packages of a wiring, in a lawful order.

    Parameters
    ----------
    wiring : Wiring
    own : sequence of Before
        What the shop adds for this vehicle. One that contradicts the rest is left out and becomes a finding.

    Returns
    -------
    OrderOfWork
        The same for the same wiring, whatever else is in memory.

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0)
    >>> order = order_of_work(expand(Plan(Vehicle(), (), (Run("panel", "nose", 2.0, opening_mm=20.0),), (horn,))))
    >>> [str(package.key) for package in order.packages][:4]
    ['strip out: whole vehicle', 'strip out: front', 'panel: whole vehicle', 'pull: front']
    """
    if not wiring.plan.circuits:
        return OrderOfWork((), ())
    contents = _contents(wiring)
    rules = [rule for rule in _rules(wiring, contents) if rule.first in contents and rule.then in contents]
    found: list[Finding] = []
    for rule in own:
        problem = _problem(rule, rules, contents)
        if problem is None:
            rules.append(rule)
        else:
            found.append(problem)
    notes = _notes(wiring)
    ordered = _sorted(tuple(contents), rules, section_order(wiring.plan))
    packages = tuple(
        Package(key, contents[key], tuple(notes.get(key, ())), tuple(rule for rule in rules if rule.then == key))
        for key in ordered
    )
    return OrderOfWork(packages, tuple(found))


def section_order(plan: Plan) -> dict[str, int]:
    """Place of each section in plan order, the whole vehicle first.

    Examples
    --------
    >>> from circuits.plan import Vehicle
    >>> section_order(Plan(Vehicle(), (), (), ()))
    {'whole vehicle': 0}
    """
    names = dict.fromkeys((WHOLE_VEHICLE, *(circuit.section for circuit in plan.circuits)))
    return {name: place for place, name in enumerate(names)}


def _contents(wiring: Wiring) -> dict[PackageKey, tuple[str, ...]]:
    """Circuits of each package there is."""
    wired = {wire.circuit for wire in wiring.wires}
    fused = {protection.circuit for protection in wiring.protections}
    covered = {wire.circuit for wire in wiring.wires if not wire.is_existing and _is_covered(wire, wiring.plan)}
    contents: dict[PackageKey, list[str]] = {PackageKey(WorkStage.STRIP_OUT, WHOLE_VEHICLE): []}
    for circuit in wiring.plan.circuits:
        for stage in _stages_of(circuit, circuit.name in wired, circuit.name in fused, circuit.name in covered):
            section = WHOLE_VEHICLE if stage is WorkStage.PANEL else circuit.section
            contents.setdefault(PackageKey(stage, section), []).append(circuit.name)
    if any(circuit.disposition.is_wired for circuit in wiring.plan.circuits):
        contents.setdefault(PackageKey(WorkStage.PROVE, WHOLE_VEHICLE), [])
    return {key: tuple(names) for key, names in contents.items()}


def _is_covered(wire: Wire, plan: Plan) -> bool:
    return any(plan.runs[run].covering is not Covering.NONE for run in wire.path.runs)


def _stages_of(circuit: Circuit, wired: bool, fused: bool, covered: bool) -> Iterable[WorkStage]:
    disposition = circuit.disposition
    if disposition in (Disposition.REPLACE, Disposition.REMOVE, Disposition.CAP_OFF):
        yield WorkStage.STRIP_OUT
    if not disposition.is_wired or not wired:
        return
    if disposition.is_pulled_new:
        if fused:
            yield WorkStage.PANEL
        yield WorkStage.PULL
    if disposition is not Disposition.KEEP:
        yield WorkStage.TERMINATE
    yield WorkStage.PROVE
    if covered:
        yield WorkStage.COVER
    if disposition is not Disposition.KEEP:
        yield WorkStage.REFIT


def _rules(wiring: Wiring, contents: dict[PackageKey, tuple[str, ...]]) -> Iterable[Before]:
    yield from _dropping_doubles((*_within_sections(wiring, contents), *_between_sections(wiring)))


def _dropping_doubles(rules: Iterable[Before]) -> Iterable[Before]:
    seen: set[tuple[PackageKey, PackageKey]] = set()
    for rule in rules:
        if rule.first != rule.then and (rule.first, rule.then) not in seen:
            seen.add((rule.first, rule.then))
            yield rule


def _within_sections(wiring: Wiring, contents: dict[PackageKey, tuple[str, ...]]) -> Iterable[Before]:
    setup, panel = PackageKey(WorkStage.STRIP_OUT, WHOLE_VEHICLE), PackageKey(WorkStage.PANEL, WHOLE_VEHICLE)
    power = PackageKey(WorkStage.PROVE, WHOLE_VEHICLE)
    for section in section_order(wiring.plan):
        keys = [key for stage in STAGES if (key := PackageKey(stage, section)) in contents]
        if section == WHOLE_VEHICLE:
            continue
        for first, then in pairwise(keys):
            yield Before(first, then, "one stage after the other")
        for key in keys:
            if key.stage is WorkStage.STRIP_OUT:
                yield Before(setup, key, "the battery is isolated and off the vehicle first")
                yield Before(key, panel, "the old wiring is out before the panel goes in")
            if key.stage is WorkStage.PULL:
                yield Before(panel, key, "leads are pulled from the panel")
            if key.stage is WorkStage.PROVE:
                yield Before(key, power, "every circuit is sound before the vehicle has power")
            if key.stage is WorkStage.REFIT:
                yield Before(power, key, "nothing is closed up before the vehicle is proved")
    yield Before(setup, panel, "the battery is isolated and off the vehicle first")


def _between_sections(wiring: Wiring) -> Iterable[Before]:
    section_of = {circuit.name: circuit.section for circuit in wiring.plan.circuits}
    for device in wiring.devices:
        home = section_of[device.circuits[0]]
        for wire, end in _landing(device, wiring):
            other = section_of[wire.circuit]
            if device.lands in MOUNTED:
                why = f"{device.name} is wired before it is mounted"
                yield Before(PackageKey(WorkStage.TERMINATE, other), PackageKey(WorkStage.REFIT, home), why)
            if _openings(wire, wiring.plan) and not wire.is_existing and end is wire.end:
                why = f"{wire.name} passes an opening before its connector body goes on at {end.place}"
                yield Before(PackageKey(WorkStage.PULL, other), PackageKey(WorkStage.TERMINATE, home), why)
    yield from _feeders(wiring.plan, section_of)
    yield from _shared_runs(wiring, section_of)


def _feeders(plan: Plan, section_of: dict[str, str]) -> Iterable[Before]:
    for circuit in plan.circuits:
        if circuit.feed in section_of:
            why = f"{circuit.name} is fed by {circuit.feed}"
            first = PackageKey(WorkStage.TERMINATE, section_of[circuit.feed])
            yield Before(first, PackageKey(WorkStage.PROVE, circuit.section), why)


def _shared_runs(wiring: Wiring, section_of: dict[str, str]) -> Iterable[Before]:
    sections: dict[int, dict[str, None]] = {}
    for wire in wiring.wires:
        if not wire.is_existing:
            for run in wire.path.runs:
                sections.setdefault(run, {}).setdefault(section_of[wire.circuit])
    for run, names in sorted(sections.items()):
        if wiring.plan.runs[run].covering is not Covering.NONE:
            why = f"every wire lies in {wiring.plan.runs[run].name} before it is covered"
            for then in names:
                for first in names:
                    yield Before(PackageKey(WorkStage.PULL, first), PackageKey(WorkStage.COVER, then), why)


def _landing(device: Device, wiring: Wiring) -> Iterable[tuple[Wire, End]]:
    for wire in wiring.wires:
        for end in (wire.start, wire.end):
            if end.device == device.name:
                yield wire, end


def _openings(wire: Wire, plan: Plan) -> list[int]:
    return [run for run in wire.path.runs if plan.runs[run].opening_mm is not None]


def _problem(rule: Before, rules: list[Before], contents: dict[PackageKey, tuple[str, ...]]) -> Finding | None:
    unknown = [str(key) for key in (rule.first, rule.then) if key not in contents]
    if unknown:
        return finding("order-unknown", "", f"The order of work names {unknown[0]!r}, and there is no such package.")
    way = _way(rule.then, rule.first, rules)
    if way:
        chain = ", then ".join(str(key) for key in way)
        message = f"{rule.first} is wanted before {rule.then}, but the other way round is needed: {chain}."
        return finding("order-contradiction", "", message)
    return None


def _way(start: PackageKey, goal: PackageKey, rules: Sequence[Before]) -> list[PackageKey]:
    """Packages from ``start`` to ``goal`` along the rules; empty where none leads there."""
    before: dict[PackageKey, PackageKey] = {start: start}
    waiting = [start]
    for at in waiting:
        for rule in rules:
            if rule.first == at and rule.then not in before:
                before[rule.then] = at
                waiting.append(rule.then)
    if goal not in before:
        return []
    way = [goal]
    while way[-1] != start:
        way.append(before[way[-1]])
    return way[::-1]


def _sorted(keys: tuple[PackageKey, ...], rules: Sequence[Before], sections: dict[str, int]) -> tuple[PackageKey, ...]:
    """Kahn's algorithm; of packages that are free the earlier stage comes first, then the earlier section."""
    rank = {key: (STAGES.index(key.stage), sections[key.section]) for key in keys}
    missing = {key: len({rule.first for rule in rules if rule.then == key}) for key in keys}
    free = [(rank[key], key) for key in keys if not missing[key]]
    heapq.heapify(free)
    ordered: list[PackageKey] = []
    while free:
        _, key = heapq.heappop(free)
        ordered.append(key)
        for then in {rule.then for rule in rules if rule.first == key}:
            missing[then] -= 1
            if not missing[then]:
                heapq.heappush(free, (rank[then], then))
    return tuple(ordered)


def _notes(wiring: Wiring) -> dict[PackageKey, list[str]]:
    section_of = {circuit.name: circuit.section for circuit in wiring.plan.circuits}
    notes: dict[PackageKey, list[str]] = {
        PackageKey(WorkStage.STRIP_OUT, WHOLE_VEHICLE): [
            "Isolate the battery and take it off the vehicle before anything else."
        ]
    }
    for (section, run, place), circuits in _through(wiring, section_of).items():
        opening = wiring.plan.runs[run]
        text = (
            f"Through {opening.name} ({format_diameter(opening.opening_mm or 0.0)}): pull {', '.join(circuits)} bare, "
            f"then fit the connector bodies at {place}."
        )
        notes.setdefault(PackageKey(WorkStage.PULL, section), []).append(text)
    for device in wiring.devices:
        fresh = dict.fromkeys(wire.circuit for wire, _ in _landing(device, wiring) if not wire.is_existing)
        if device.lands in MOUNTED and fresh:
            text = f"Wire {device.name} before it is mounted: {', '.join(fresh)}."
            notes.setdefault(PackageKey(WorkStage.TERMINATE, section_of[device.circuits[0]]), []).append(text)
    return notes


def _through(wiring: Wiring, section_of: dict[str, str]) -> dict[tuple[str, int, str], list[str]]:
    """Circuits by section, opening crossed and place where their bodies go on."""
    found: dict[tuple[str, int, str], dict[str, None]] = {}
    for wire in wiring.wires:
        if not wire.is_existing:
            for run in _openings(wire, wiring.plan):
                found.setdefault((section_of[wire.circuit], run, wire.end.place), {}).setdefault(wire.circuit)
    return {key: list(names) for key, names in found.items()}
