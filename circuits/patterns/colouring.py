"""Colours of circuits: a base by the bus they hang on, and a tracer that tells them apart in their section."""

from __future__ import annotations

import csv
from collections import Counter, defaultdict
from dataclasses import dataclass
from pathlib import Path

from circuits.colours import parse_colour
from circuits.errors import QuantityError
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.patterns.survey import Survey
from circuits.plan import Circuit, FuseFamily, Kind

RETURN_COLOUR = "BK"
"""Colour of wires to ground (common practice, no source)."""

TRACERS = ("", "BK", "WH", "YE", "BU", "GN", "RD", "OG", "BN", "VT", "GY", "PK")
"""Tracers in the order they are given out; the first is none (common practice, no source)."""

GROUNDED_PAIR = frozenset({"GN", "YE"})
"""Never together: IEC 60757 keeps green with yellow (GNYE) as one marking, for protective earth."""


@dataclass(frozen=True, slots=True)
class Coloured:
    """Colour by circuit, where it has one, and what was found on the way."""

    colours: dict[str, str]
    findings: tuple[Finding, ...]


def _read_bases() -> dict[str, tuple[str, str]]:
    with (Path(__file__).parent / "base_colours.csv").open(encoding="utf-8", newline="") as file:
        return {row["feed"]: (row["base"], row["next_base"]) for row in csv.DictReader(file)}


BASES: dict[str, tuple[str, str]] = _read_bases()
"""Base colour by bus, and the one that follows when its tracers run out."""


def palette(bus: str) -> tuple[str, ...]:
    """Colours for circuits that hang on a bus, in the order they are given out.

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


def choose_colours(survey: Survey) -> Coloured:
    """Colour of each circuit that is to be wired.

    A colour the plan gives is kept. The others are given out in plan order, each section taking the first
    of its bus's palette that the section has not used: so rows added at the end change none before them.
    A circuit that keeps its wires keeps their colour, which stays empty where nobody wrote it down.
    """
    colours: dict[str, str] = {}
    findings: list[Finding] = []
    first_user: defaultdict[str, dict[str, str]] = defaultdict(dict)
    uses: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for circuit in survey.plan.circuits:
        if not circuit.disposition.is_wired:
            continue
        given, found = _given(circuit)
        findings += found
        if not given and not circuit.disposition.is_pulled_new:
            continue
        used = uses[circuit.section]
        offered = _PALETTES[survey.bus_of(circuit) or "battery"]
        colour = colours[circuit.name] = given or min(offered, key=used.__getitem__)
        used[colour] += 1
        other = first_user[circuit.section].setdefault(colour, circuit.name)
        if other != circuit.name:
            message = f"{circuit.name} is {colour}, as is {other} in {circuit.section}"
            findings.append(finding("colour-repeated", circuit.name, message, figure=colour))
    return Coloured(colours, tuple(findings))


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
