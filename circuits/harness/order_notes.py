"""What to mind inside a package of work: what is pulled bare, what is wired at the bench, what is mounted when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from circuits.figures import format_diameter
from circuits.harness.landings import landings_of
from circuits.harness.mounting import mounting_steps
from circuits.harness.order_rules import MOUNTED, mounting_homes
from circuits.harness.packages import WHOLE_VEHICLE, PackageKey, WorkStage
from circuits.harness.pulling import Fitted, Threading, threadings
from circuits.wiring import End, Wiring

Note = tuple[PackageKey, str]


def notes_of(wiring: Wiring, contents: Mapping[PackageKey, tuple[str, ...]]) -> dict[PackageKey, list[str]]:
    """Notes by package, in the order in which they are needed.

    Parameters
    ----------
    wiring : Wiring
    contents : mapping of PackageKey to tuple of str
        Circuits of each package there is.
    """
    section_of = {circuit.name: circuit.section for circuit in wiring.plan.circuits}
    notes: dict[PackageKey, list[str]] = {
        PackageKey(WorkStage.STRIP_OUT, WHOLE_VEHICLE): [
            "Isolate the battery and take it off the vehicle before anything else."
        ]
    }
    for key, text in (
        *_pulled(wiring, section_of),
        *_wired(wiring, section_of),
        *_mounted(wiring, section_of, contents),
    ):
        notes.setdefault(key, []).append(text)
    return notes


def _pulled(wiring: Wiring, section_of: dict[str, str]) -> Iterator[Note]:
    """Leads by opening, and by what goes through it: each opening on the way, not only the smallest."""
    plan = wiring.plan
    found: dict[tuple[str, int, str, str, Fitted, bool], list[Threading]] = {}
    for lead in threadings(wiring):
        for run in lead.wire.path.runs:
            if plan.runs[run].opening_mm is not None:
                end, section = lead.end, section_of[lead.wire.circuit]
                key = (section, run, end.place, end.connector, lead.fitted, lead.is_turned)
                found.setdefault(key, []).append(lead)
    for (section, run, _, _, _, _), leads in found.items():
        opening = f"Through {plan.runs[run].name} ({format_diameter(plan.runs[run].opening_mm or 0.0)})"
        yield PackageKey(WorkStage.PULL, section), f"{opening}: {_how(leads)}"


def _how(leads: list[Threading]) -> str:
    lead = leads[0]
    names, body, place = _listed(one.wire.circuit for one in leads), lead.end.connector, lead.end.place
    size = f"{body} ({format_diameter(lead.body_mm)})" if lead.body_mm else body
    turned = f"from {_other(lead).place} ({_on_already(lead)} is on already) towards {place} " if lead.is_turned else ""
    if lead.fitted is Fitted.BENCH:
        return f"pull {names} {turned}with {size} fitted at the bench, it passes."
    if lead.fitted is Fitted.NEVER:
        return f"{names} cannot be pulled: see the plan's findings."
    if not body:
        return f"pull {names} {turned}bare, then fit the connector bodies at {place}."
    reason = "which does not pass" if lead.body_mm else "whose size is not known"
    return f"pull {names} {turned}bare, then fit {size}, {reason}, at {place}."


def _other(lead: Threading) -> End:
    return lead.wire.start if lead.end == lead.wire.end else lead.wire.end


def _on_already(lead: Threading) -> str:
    other = _other(lead)
    return other.connector or other.device


def _wired(wiring: Wiring, section_of: dict[str, str]) -> Iterator[Note]:
    landed = landings_of(wiring)
    for device in wiring.devices:
        fresh = dict.fromkeys(wire.circuit for wire, _ in landed.get(device.name, ()) if not wire.is_existing)
        if device.lands in MOUNTED and fresh:
            key = PackageKey(WorkStage.TERMINATE, section_of[device.circuits[0]])
            yield key, f"Wire {device.name} before it is mounted: {_listed(fresh)}."


def _mounted(
    wiring: Wiring, section_of: dict[str, str], contents: Mapping[PackageKey, tuple[str, ...]]
) -> Iterator[Note]:  # fmt: skip
    homes = mounting_homes(wiring, contents)
    for number, step in enumerate(mounting_steps(wiring), 1):
        part, home = step.mounting.part, homes.get(step.mounting.part)
        if home is None:
            continue
        if step.mounting.wired_first and step.own:
            for section in dict.fromkeys(section_of[name] for name in step.own):
                own = _listed(name for name in step.own if section_of[name] == section)
                key = PackageKey(WorkStage.TERMINATE, section)
                yield key, f"Wire {part} at the bench, before it is mounted: {own}."
        first = [f"{_listed(step.after)} mounted"] if step.after else []
        first += [f"{_listed(step.hidden)} terminated and proved"] if step.hidden else []
        until = f" Not before {' and '.join(first)}: it hides {_listed(step.mounting.hides)}." if first else ""
        where = f" at {step.mounting.place}" if step.mounting.place else ""
        yield home, f"Mount {part}{where}, number {number} of {len(wiring.plan.mountings)}.{until}"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names))
