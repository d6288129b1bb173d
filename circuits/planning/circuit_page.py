"""The page of one circuit: what it shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import Http404

from circuits.drawings.diagram import circuit_diagram
from circuits.drawings.shapes import Drawing
from circuits.electrical.explain import explain
from circuits.electrical.wording import allowed_text, value_text
from circuits.findings import Finding
from circuits.planning.history import last_changes
from circuits.planning.models import CircuitRow
from circuits.planning.results import findings_by_circuit
from circuits.planning.store import LoadedPlan
from circuits.planning.supply_page import relays_priced
from circuits.sized import SizedCircuit, SizedPlan, SizedWire


@dataclass(frozen=True, slots=True)
class TrialLine:
    """One limit tried at one size, in words."""

    size: str
    limit: str
    value: str
    allowed: str
    ok: bool
    governs: bool
    source: str


@dataclass(frozen=True, slots=True)
class WireLine:
    """A wire with its reasons, in words."""

    sized: SizedWire
    why: str
    trials: tuple[TrialLine, ...]


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Circuits before and behind; None at the ends."""

    before: CircuitRow | None
    behind: CircuitRow | None


def row_or_404(loaded: LoadedPlan, circuit_id: int) -> CircuitRow:
    """The circuit's row.

    Raises
    ------
    Http404
    """
    for row in loaded.circuit_rows:
        if row.pk == circuit_id:
            return row
    raise Http404(f"no circuit {circuit_id} in this plan")


def wire_line(wire: SizedWire) -> WireLine:
    """A wire, and why it is as it is."""
    return WireLine(wire, explain(wire), tuple(_trials(wire)))


def _trials(wire: SizedWire) -> list[TrialLine]:
    governing = [t for t in wire.tried if t.limit is wire.governed_by and (not t.ok or t.size == wire.conductor.label)]
    last = next((trial for trial in reversed(governing) if not trial.ok), governing[-1] if governing else None)
    return [
        TrialLine(
            size=trial.size,
            limit=trial.limit.value,
            value=value_text(trial),
            allowed=allowed_text(trial),
            ok=trial.ok,
            governs=trial is last,
            source=trial.source,
        )
        for trial in wire.tried
    ]


def circuit_context(
    loaded: LoadedPlan, sized: SizedPlan, row: CircuitRow, *, with_prices: bool = False
) -> dict[str, Any]:
    """Results of one circuit for its page; ``with_prices`` for those who may see what a cure costs."""
    index = next(i for i, other in enumerate(loaded.circuit_rows) if other.pk == row.pk)
    result: SizedCircuit = sized.circuits[index]
    findings: list[Finding] = findings_by_circuit(sized)[row.name]
    rows = loaded.circuit_rows
    drawing: Drawing = circuit_diagram(result)
    return {
        "plan": loaded.row,
        "row": row,
        "result": result,
        "wires": [wire_line(wire) for wire in result.wires],
        "findings": findings,
        "relays": relays_priced(sized, row.name, with_price=with_prices),
        "diagram": drawing,
        "neighbours": Neighbours(
            rows[index - 1] if index else None, rows[index + 1] if index + 1 < len(rows) else None
        ),
        "changes": last_changes(loaded.row, row.name),
    }
