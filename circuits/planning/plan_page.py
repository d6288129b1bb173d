"""What the plan page and the loom page show of a loaded plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from circuits.findings import Finding
from circuits.paper.title_block import TitleBlock
from circuits.planning.answers import list_data
from circuits.planning.grid import FIGURES, columns, words
from circuits.planning.listing import Listing
from circuits.planning.models import CircuitRow, PlanRow
from circuits.planning.results import counted, drop, findings_by_circuit, sizes
from circuits.planning.store import LoadedPlan
from circuits.sized import SizedCircuit, SizedPlan


@dataclass(frozen=True, slots=True)
class CircuitLine:
    """One circuit as one line of the list: for phones, paper and browsers without scripts."""

    row: CircuitRow
    sized: SizedCircuit
    sizes: str
    drop: str
    findings: tuple[Finding, ...]
    words: str


def circuit_lines(loaded: LoadedPlan, sized: SizedPlan) -> list[CircuitLine]:
    """A line for each circuit, in order."""
    findings = findings_by_circuit(sized)
    return [
        CircuitLine(
            row, circuit, sizes(circuit), drop(circuit), tuple(findings.get(row.name, ())), counted(findings[row.name])
        )
        for row, circuit in zip(loaded.circuit_rows, sized.circuits, strict=True)
    ]


def grid_data(
    listing: Listing, loaded: LoadedPlan, sized: SizedPlan, *, urls: dict[str, str], can_edit: bool, person: str
) -> dict[str, Any]:
    """Everything the grid of one list starts from."""
    drawn: dict[str, str] = {}
    return {
        "name": listing.name,
        "one": listing.one,
        "plan": loaded.row.pk,
        "version": loaded.row.version,
        "person": person,
        "canEdit": can_edit,
        "urls": urls,
        "columns": columns(listing),
        "figures": [{"label": label, "wide": wide} for label, wide in FIGURES[listing.name]],
        "lists": words(loaded.plan, sized.rules),
        "rows": list_data(listing, loaded, sized, drawn),
        "drawn": drawn,
    }


def plan_block(title: str, row: PlanRow) -> TitleBlock:
    """Title block of a page about a plan."""
    return TitleBlock(
        title=title,
        subject=" · ".join(dict.fromkeys(text for text in (row.title, row.description) if text)),
        revision=str(row.version),
        date=row.updated_at.date(),
        by=row.updated_by,
    )
