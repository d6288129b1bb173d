"""Results of a sized plan as the plan's pages show them: short texts and drawn things, one set a row."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import Any

from circuits.findings import Finding, Severity
from circuits.planning.templatetags.drawn import fuse_drawn, wire_stroke
from circuits.sized import Bundle, SizedCircuit, SizedPlan
from circuits.units import format_current

SEVERITIES = (Severity.ERROR, Severity.WARNING, Severity.NOTE)

Figure = list[str | list[str]]
"""Texts in order; a list within names a drawn thing of ``DRAWN``'s."""


@dataclass(frozen=True, slots=True)
class Totals:
    """A plan in figures."""

    circuits: int
    wires: int
    wire_m: float
    errors: int
    warnings: int
    notes: int


def totals(sized: SizedPlan) -> Totals:
    """Counts of a sized plan; metres are of new wire."""
    counted = dict.fromkeys(SEVERITIES, 0)
    for finding in sized.findings:
        counted[finding.severity] += 1
    new = [wire.wire for wire in sized.wires if not wire.wire.is_existing]
    return Totals(
        circuits=len(sized.circuits),
        wires=len(new),
        wire_m=sum(wire.length_m for wire in new),
        errors=counted[Severity.ERROR],
        warnings=counted[Severity.WARNING],
        notes=counted[Severity.NOTE],
    )


def findings_by_circuit(sized: SizedPlan) -> dict[str, list[Finding]]:
    """Findings of each circuit, the gravest first."""
    by_circuit: dict[str, list[Finding]] = defaultdict(list)
    for finding in sorted(sized.findings, key=lambda finding: SEVERITIES.index(finding.severity)):
        by_circuit[finding.circuit].append(finding)
    return by_circuit


def counted(findings: list[Finding]) -> str:
    """``1 error, 2 warnings``; empty where there are none.

    Examples
    --------
    >>> counted([Finding("no-path", Severity.ERROR, "fan", "", "no way", "", "", "add a run")])
    '1 error'
    """
    numbers = [(severity.value, sum(f.severity is severity for f in findings)) for severity in SEVERITIES]
    return ", ".join(f"{number} {word}{'s' if number > 1 else ''}" for word, number in numbers if number)


def sizes(circuit: SizedCircuit) -> str:
    """Distinct wire sizes of a circuit, in the order of its wires: ``12, 18 AWG``."""
    labels = dict.fromkeys(wire.conductor.label for wire in circuit.wires)
    units = {label.rpartition(" ")[2] for label in labels}
    if len(units) != 1:
        return ", ".join(labels)
    return f"{', '.join(label.rpartition(' ')[0] for label in labels)} {units.pop()}"


def drop(circuit: SizedCircuit) -> str:
    """``2.1 of 3 %``."""
    if not circuit.wires:
        return ""
    limit = f"{circuit.drop_limit_percent:.1f}".removesuffix(".0")
    return f"{circuit.drop_percent:.1f} of {limit} %"


def circuit_result(circuit: SizedCircuit, findings: list[Finding], drawn: dict[str, str]) -> dict[str, Any]:
    """What the grid shows beside a circuit. Drawn things are added to ``drawn`` by name, once each."""
    wire: Figure = []
    if circuit.wires:
        colour = next((w.wire.colour for w in circuit.wires if w.wire.colour), "")
        wire = [*([_draw(drawn, f"wire {colour}", wire_stroke(colour))] if colour else []), sizes(circuit)]
    fuse: Figure = []
    if circuit.fuse is not None:
        name = f"{circuit.fuse.family.value} {circuit.fuse.rating_a:g}"
        fuse = [_draw(drawn, name, fuse_drawn(circuit.fuse.family.value, circuit.fuse.rating_a, words=False))]
    current: Figure = [format_current(circuit.current_a)] if circuit.circuit.disposition.is_wired else []
    return {"figures": [current, wire, fuse, [drop(circuit)]], "findings": [_finding(finding) for finding in findings]}


def bundle_result(bundle: Bundle | None) -> dict[str, Any]:
    """What the grid shows beside a run: wires in it, diameter, covering size."""
    if bundle is None or not bundle.wires:
        return {"figures": [["unused"], [], []], "findings": []}
    covering = f"{bundle.covering_mm:g} mm" if bundle.covering_mm else ""
    return {"figures": [[str(len(bundle.wires))], [f"{bundle.diameter_mm:.1f} mm"], [covering]], "findings": []}


def connector_results(sized: SizedPlan) -> dict[str, dict[str, Any]]:
    """What the grid shows beside each connector, by name: cavities that are used, of those the body has."""
    plan = sized.wiring.plan
    used = Counter(cavity.connector for cavity in plan.cavities if cavity.circuit)
    listed = Counter(cavity.connector for cavity in plan.cavities)
    found = {one.name: f"{used[one.name]} of {one.ways or listed[one.name]}" for one in plan.connectors}
    return {name: {"figures": [[text]], "findings": []} for name, text in found.items()}


def cavity_results(sized: SizedPlan, drawn: dict[str, str]) -> dict[str, dict[str, Any]]:
    """What the grid shows beside each cavity, by connector and label: its wire's colour and size."""
    seated: dict[str, Figure] = {}
    for wire in sized.wires:
        for end in (wire.wire.start, wire.wire.end):
            colour = wire.wire.colour
            stroke: Figure = [_draw(drawn, f"wire {colour}", wire_stroke(colour))] if colour else []
            if end.connector:
                seated.setdefault(f"{end.connector} {end.cavity}", [*stroke, wire.conductor.label])
    named = (f"{cavity.connector} {cavity.label}" for cavity in sized.wiring.plan.cavities)
    return {name: {"figures": [seated.get(name, [])], "findings": []} for name in named}


def _draw(drawn: dict[str, str], name: str, html: Any) -> list[str]:
    drawn[name] = str(html)
    return [name]


def _finding(finding: Finding) -> list[str]:
    return [finding.severity.value, finding.message, finding.cure]
