"""The plan in figures, with every finding and the row it belongs to."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from circuits.findings import Finding
from circuits.planning.results import SEVERITIES, Totals, counted, totals
from circuits.planning.store import LoadedPlan
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class PlacedFinding:
    """A finding and the id of the circuit's row; None where it concerns the whole plan."""

    finding: Finding
    circuit_id: int | None


@dataclass(frozen=True, slots=True)
class Summary:
    """What the plan's pages say of it. ``circuits_url`` and an id make the address of a circuit."""

    circuits_url: str
    totals: Totals
    words: str
    findings: tuple[PlacedFinding, ...]


def summary(loaded: LoadedPlan, sized: SizedPlan) -> Summary:
    """The plan in figures; findings with the gravest first."""
    ids = {row.name: row.pk for row in loaded.circuit_rows}
    ordered = sorted(sized.findings, key=lambda finding: SEVERITIES.index(finding.severity))
    return Summary(
        circuits_url=reverse("planning:circuit", args=[loaded.row.pk, 0]).removesuffix("0/"),
        totals=totals(sized),
        words=counted(list(sized.findings)),
        findings=tuple(PlacedFinding(finding, ids.get(finding.circuit)) for finding in ordered),
    )
