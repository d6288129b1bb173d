"""What must be done before what: stage by stage within a section, and where sections meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from circuits.harness.landings import landings_of
from circuits.harness.mounting import mounting_steps
from circuits.harness.packages import STAGES, WHOLE_VEHICLE, Before, PackageKey, WorkStage, section_order
from circuits.harness.pulling import Fitted, threadings
from circuits.plan import Covering, Plan
from circuits.wiring import Lands, Wiring

MOUNTED = (Lands.SWITCH, Lands.RELAY, Lands.LOAD)
"""Devices that are mounted after they are wired."""


def rules_of(wiring: Wiring, contents: Mapping[PackageKey, tuple[str, ...]]) -> Iterator[Before]:
    """What must be done before what, each pair once. Every rule leads from a stage to a later one, so none contradict.

    Parameters
    ----------
    wiring : Wiring
    contents : mapping of PackageKey to tuple of str
        Circuits of each package there is.
    """
    yield from _dropping_doubles((*_within_sections(wiring, contents), *_between_sections(wiring)))


def _dropping_doubles(rules: Iterable[Before]) -> Iterator[Before]:
    seen: set[tuple[PackageKey, PackageKey]] = set()
    for rule in rules:
        if rule.first != rule.then and (rule.first, rule.then) not in seen:
            seen.add((rule.first, rule.then))
            yield rule


def _within_sections(wiring: Wiring, contents: Mapping[PackageKey, tuple[str, ...]]) -> Iterator[Before]:
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


def _between_sections(wiring: Wiring) -> Iterator[Before]:
    section_of = {circuit.name: circuit.section for circuit in wiring.plan.circuits}
    through = {lead.wire.name: lead for lead in threadings(wiring)}
    landed = landings_of(wiring)
    for device in wiring.devices:
        home = section_of[device.circuits[0]]
        for wire, end in landed.get(device.name, ()):
            other = section_of[wire.circuit]
            if device.lands in MOUNTED:
                why = f"{device.name} is wired before it is mounted"
                yield Before(PackageKey(WorkStage.TERMINATE, other), PackageKey(WorkStage.REFIT, home), why)
            lead = through.get(wire.name)
            if lead is not None and lead.end == end and lead.fitted is Fitted.AFTER:
                why = f"{wire.name} passes an opening before its connector body goes on at {end.place}"
                yield Before(PackageKey(WorkStage.PULL, other), PackageKey(WorkStage.TERMINATE, home), why)
    yield from _feeders(wiring.plan, section_of)
    yield from _shared_runs(wiring, section_of)


def mounting_rules(wiring: Wiring, contents: Mapping[PackageKey, tuple[str, ...]]) -> Iterator[Before]:
    """What must be done before a part is mounted, where it goes on with another section than that.

    Parameters
    ----------
    wiring : Wiring
    contents : mapping of PackageKey to tuple of str
        Circuits of each package there is.
    """
    section_of = {circuit.name: circuit.section for circuit in wiring.plan.circuits}
    homes = mounting_homes(wiring, contents)
    for step in mounting_steps(wiring):
        part, home = step.mounting.part, homes.get(step.mounting.part)
        if home is None:
            continue
        whys = [(circuit, f"{part} hides what {circuit} ends on") for circuit in step.hidden]
        if step.mounting.wired_first:
            whys += [(circuit, f"{part} is wired before it is mounted") for circuit in step.own]
        for circuit, why in whys:
            first = PackageKey(WorkStage.TERMINATE, section_of[circuit])
            if first in contents:
                yield Before(first, home, why)
        for other in step.after:
            if other in homes and homes[other] != home:
                yield Before(homes[other], home, f"{part} hides {other}")


def mounting_homes(wiring: Wiring, contents: Mapping[PackageKey, tuple[str, ...]]) -> dict[str, PackageKey]:
    """The package in which each part is mounted: with the first circuit that lands on it, else that it hides.

    A part that neither carries nor hides a wire goes with the first section that is refitted.

    Parameters
    ----------
    wiring : Wiring
    contents : mapping of PackageKey to tuple of str
        Circuits of each package there is.
    """
    section_of = {circuit.name: circuit.section for circuit in wiring.plan.circuits}
    refits = [key for key in contents if key.stage is WorkStage.REFIT]
    homes = {}
    for step in mounting_steps(wiring):
        wanted = (PackageKey(WorkStage.REFIT, section_of[name]) for name in (*step.own, *step.hidden))
        home = next((key for key in wanted if key in contents), next(iter(refits), None))
        if home is not None:
            homes[step.mounting.part] = home
    return homes


def _feeders(plan: Plan, section_of: dict[str, str]) -> Iterator[Before]:
    for circuit in plan.circuits:
        if circuit.feed in section_of:
            why = f"{circuit.name} is fed by {circuit.feed}"
            first = PackageKey(WorkStage.TERMINATE, section_of[circuit.feed])
            yield Before(first, PackageKey(WorkStage.PROVE, circuit.section), why)


def _shared_runs(wiring: Wiring, section_of: dict[str, str]) -> Iterator[Before]:
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
