"""Colours of circuits: a base by the bus they hang on, and a tracer that tells them apart in their section."""

from __future__ import annotations

import csv
from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path

from circuits.colours import parse_colour
from circuits.errors import QuantityError
from circuits.findings import Finding
from circuits.plan import Circuit, Plan

TRACERS = ("", "BK", "WH", "YE", "BU", "GN", "RD", "OG", "BN", "VT", "GY", "PK")
"""Tracers in the order they are given out; the first is none (common practice, no source)."""

GROUNDED_PAIR = frozenset({"GN", "YE"})
"""Never together: IEC 60757 keeps green with yellow (GNYE) as one marking, for protective earth."""


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


def root_bus(circuit: Circuit, by_name: Mapping[str, Circuit]) -> str:
    """The bus a circuit hangs on through the circuits that feed it; battery where that leads nowhere."""
    seen: set[str] = set()
    while circuit.is_fed_by_circuit:
        if circuit.name in seen or circuit.feed not in by_name:
            return "battery"
        seen.add(circuit.name)
        circuit = by_name[circuit.feed]
    return circuit.feed


def choose_colours(plan: Plan) -> tuple[dict[str, str], tuple[Finding, ...]]:
    """Colour of each wired circuit, in plan order, so that rows added at the end change none before them."""
    by_name = {circuit.name: circuit for circuit in plan.circuits}
    used: defaultdict[str, dict[str, int]] = defaultdict(dict)
    colours: dict[str, str] = {}
    findings: list[Finding] = []
    for circuit in plan.circuits:
        if not circuit.disposition.is_wired:
            continue
        in_section = used[circuit.section]
        colour = _forced(circuit)
        if not colour:
            offered = _PALETTES[root_bus(circuit, by_name)]
            colour = min(offered, key=lambda c: in_section.get(c, 0))
        in_section[colour] = in_section.get(colour, 0) + 1
        colours[circuit.name] = colour
    return colours, tuple(findings)


def _forced(circuit: Circuit) -> str:
    try:
        return parse_colour(circuit.colour) if circuit.colour else ""
    except QuantityError:
        return ""
