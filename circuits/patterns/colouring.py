"""Colours of circuits: a base by the bus they hang on, and a tracer that tells them apart where they lie together.

A circuit has one colour from its fuse to its loads, the traditional one where the plan gives it. Only where two of its
conductors sit in one connector, such as those to and from a switch, do those towards the supply get one of their own.
Along a bundle a circuit's own wires look alike, as is usual (common practice, no source): numbers tell them apart. The
shop's rules may want another colour on each side of a switch or relay instead.
"""

from __future__ import annotations

import csv
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from circuits.colours import parse_colour
from circuits.errors import QuantityError
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.harness.colours import Group, assign, clashes
from circuits.patterns.nets import nets
from circuits.patterns.survey import Survey
from circuits.plan import Circuit, FuseFamily, Kind
from circuits.rules import ColourBy, ColourRules
from circuits.wiring import Wire

RETURN_COLOUR = "BK"
"""Colour of wires to ground (common practice, no source)."""

TO_CHOOSE = "to be chosen"
"""What a live wire bears until all wires of a plan are drawn."""

TRACERS = ("", "BK", "WH", "YE", "BU", "GN", "RD", "OG", "BN", "VT", "GY", "PK")
"""Tracers that are given out; the first is none (common practice, no source)."""

GROUNDED_PAIR = frozenset({"GN", "YE"})
"""Never together: IEC 60757 keeps green with yellow (GNYE) as one marking, for protective earth."""


def _read_bases() -> dict[str, tuple[str, str]]:
    with (Path(__file__).parent / "base_colours.csv").open(encoding="utf-8", newline="") as file:
        return {row["feed"]: (row["base"], row["next_base"]) for row in csv.DictReader(file)}


BASES: dict[str, tuple[str, str]] = _read_bases()
"""Base colour by bus, and the one that follows when its tracers run out."""


def palette(bus: str) -> tuple[str, ...]:
    """Colours for circuits that hang on a bus, those of its first base before those of the next.

    Examples
    --------
    >>> palette("battery")[:4], len(palette("battery"))
    (('RD', 'RD/BK', 'RD/WH', 'RD/YE'), 22)
    """
    return tuple(
        f"{base}/{tracer}" if tracer else base
        for base in BASES[bus]
        for tracer in TRACERS
        if tracer != base and {base, tracer} != GROUNDED_PAIR
    )


_PALETTES = {bus: palette(bus) for bus in BASES}
_SPARE = tuple(colour for offered in _PALETTES.values() for colour in offered)


@dataclass(frozen=True, slots=True)
class Coloured:
    """The wires with their colours, and what was found on the way."""

    wires: tuple[Wire, ...]
    findings: tuple[Finding, ...]


def colour_wires(survey: Survey, wires: Sequence[Wire], rules: ColourRules) -> Coloured:
    """Colour the wires of a plan, so that none in one run or one connector looks like one of another circuit.

    A colour the plan gives is kept. A circuit that keeps its wires keeps their colour, which stays empty where nobody
    wrote it down.

    Parameters
    ----------
    survey : Survey
    wires : sequence of Wire
        All of the plan; those that bear ``TO_CHOOSE`` are coloured.
    rules : ColourRules
    """
    given, findings = _all_given(survey)
    by_circuit: dict[str, list[Wire]] = {}
    for wire in wires:
        if wire.colour == TO_CHOOSE:
            by_circuit.setdefault(wire.circuit, []).append(wire)
    groups: list[Group] = []
    group_of: dict[str, str] = {}
    circuit_of: dict[str, str] = {}
    for name, own in by_circuit.items():
        circuit = survey.by_name[name]
        offered = _PALETTES[survey.bus_of(circuit) or "battery"]
        is_known = bool(given[name]) or circuit.disposition.is_pulled_new
        parts = _parts(own, rules.colour_by) if circuit.disposition.is_pulled_new else [own]
        for number, members in enumerate(parts):
            group = Group(members[-1].name, _areas(members), offered, "" if number else given[name])
            groups += [group] if is_known else []
            circuit_of[group.name] = name
            group_of |= dict.fromkeys((wire.name for wire in members), group.name)
    colours = assign(groups, _SPARE)
    painted = tuple(
        replace(wire, colour=colours.get(group_of[wire.name], "")) if wire.name in group_of else wire for wire in wires
    )
    return Coloured(painted, (*findings, *_alike(survey, groups, colours, circuit_of)))


def _parts(wires: list[Wire], colour_by: ColourBy) -> list[list[Wire]]:
    """The wires of one circuit by colour, those that go on to its loads first."""
    if colour_by is ColourBy.CIRCUIT and not _in_connectors(wires):
        return [wires]
    found = nets(wires)
    last = next(net for net in found if wires[-1] in net)
    together, apart = list(last), []
    for net in found:
        if net is not last:
            if colour_by is ColourBy.NET or _in_connectors(net) & _in_connectors(together):
                apart.append(net)
            else:
                together = [*net, *together]
    return [together, *apart]


def _in_connectors(wires: Iterable[Wire]) -> set[str]:
    return {end.connector for wire in wires for end in (wire.start, wire.end) if end.connector}


def _areas(wires: Iterable[Wire]) -> frozenset[Hashable]:
    """Runs by their number, connectors by their name."""
    return frozenset(run for wire in wires for run in wire.path.runs) | _in_connectors(wires)


def _all_given(survey: Survey) -> tuple[dict[str, str], list[Finding]]:
    given: dict[str, str] = {}
    findings: list[Finding] = []
    for circuit in survey.plan.circuits:
        if circuit.disposition.is_wired:
            given[circuit.name], found = _given(circuit)
            findings += found
    return given, findings


def _alike(
    survey: Survey, groups: list[Group], colours: dict[str, str], circuit_of: dict[str, str]
) -> Iterator[Finding]:
    for clash in clashes(groups, colours):
        colour, one, other = colours[clash.second], circuit_of[clash.second], circuit_of[clash.first]
        text = (
            f"{one} is {colour}, as is {other}" if one != other else f"{one} is {colour} before a switch and behind it"
        )
        if isinstance(clash.area, int):
            message = f"{text} in run {survey.plan.runs[clash.area].name}"
            yield finding("colour-repeated", one, message, figure=colour)
        else:
            message = f"{text} in connector {clash.area}"
            yield finding("colour-repeated-in-connector", one, message, figure=colour)


def _given(circuit: Circuit) -> tuple[str, list[Finding]]:
    """The colour the plan gives, empty if it gives none, and what is odd about it."""
    name = circuit.name
    if not circuit.colour:
        if circuit.disposition.is_pulled_new:
            return "", []
        return "", [finding("colour-not-recorded", name, f"{name}: the colour of its wires is not written down")]
    try:
        colour = parse_colour(circuit.colour)
    except QuantityError:
        message = f"{name}: {circuit.colour} is no colour of IEC 60757"
        return "", [finding("unreadable-colour", name, message, figure=circuit.colour)]
    is_strap = circuit.kind is Kind.FEEDER and circuit.fuse_family is FuseFamily.NONE
    if colour == RETURN_COLOUR and not is_strap:
        message = f"{name}: its live wires are {RETURN_COLOUR}, the colour kept for returns"
        return colour, [finding("live-wire-black", name, message, figure=colour)]
    return colour, []
