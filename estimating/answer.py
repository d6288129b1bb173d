"""The answer of a worked-up plan as plain JSON values: what scripts read, and what pages and papers show.

Keys may be added, never renamed nor given another meaning. Floats carry six significant digits;
money is text with the currency's decimals.
"""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

from circuits.electrical.supply import Supply, supply
from circuits.findings import Finding
from circuits.sized import Bundle, Fuse, SizedCircuit, SizedPlan, SizedWire, Trial
from circuits.wiring import Device, Lands
from estimating.labour.hours import Hours, Spread
from estimating.pricing.quote import PricedQuote
from estimating.takeoff.parts import Part
from estimating.workup import WorkUp

SIGNIFICANT_DIGITS = 6

Json = dict[str, Any]


def answer(workup: WorkUp) -> Json:
    """The answer as a tree of dicts and lists, in a fixed order.

    Parameters
    ----------
    workup : WorkUp

    Returns
    -------
    dict
        ``circuits``, ``findings``, ``parts``, ``hours``, ``quote``, ``bundles``, ``supply``.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> from estimating.workup import work_up_sized
    >>> told = answer(work_up_sized(example_sized_plan()))
    >>> list(told), told["circuits"][0]["fuse"]["rating_a"]
    (['circuits', 'findings', 'parts', 'hours', 'quote', 'bundles', 'supply'], 5)
    """
    relays = _relays(workup.sized)
    return {
        "circuits": [_circuit(circuit, relays) for circuit in workup.sized.circuits],
        "findings": [_finding(finding) for finding in workup.sized.findings],
        "parts": [_part(part) for part in workup.parts],
        "hours": _hours(workup.hours),
        "quote": _quote(workup.quote),
        "bundles": [_bundle(bundle, workup.sized) for bundle in workup.sized.bundles if bundle.wires],
        "supply": _supply(supply(workup.sized)),
    }


def json_text(told: Json) -> str:
    r"""JSON text of an answer, indented, ending in a newline.

    Examples
    --------
    >>> json_text({"fuse": None})
    '{\n "fuse": null\n}\n'
    """
    return json.dumps(told, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def sensible(value: float) -> float | int:
    """A number without false digits: six significant, and whole numbers without a point.

    Examples
    --------
    >>> sensible(13.400000000000002), sensible(2.0), sensible(0.000123456789)
    (13.4, 2, 0.000123457)
    """
    short = float(f"{value:.{SIGNIFICANT_DIGITS}g}")
    return int(short) if short.is_integer() else short


def _circuit(sized: SizedCircuit, relays: dict[str, Device]) -> Json:
    circuit = sized.circuit
    relay = relays.get(circuit.name)
    return {
        "circuit": circuit.name,
        "section": circuit.section,
        "disposition": str(circuit.disposition),
        "load": circuit.load,
        "current_a": sensible(sized.current_a),
        "drop_v": sensible(sized.drop_v),
        "drop_percent": sensible(sized.drop_percent),
        "drop_limit_percent": sensible(sized.drop_limit_percent),
        "supply_drop_percent": sensible(sized.supply_drop_percent),
        "fuse": _fuse(sized.fuse),
        "coil_fuse": _fuse(sized.coil_fuse),
        "relay": {"at": relay.place, "current_a": sensible(relay.current_a)} if relay else None,
        "wires": [_wire(wire) for wire in sized.wires],
    }


def _fuse(fuse: Fuse | None) -> Json | None:
    if fuse is None:
        return None
    return {
        "family": str(fuse.family),
        "rating_a": sensible(fuse.rating_a),
        "at": fuse.at,
        "colour": fuse.colour,
        "source": fuse.source,
        "inrush_margin": None if fuse.inrush_margin is None else sensible(fuse.inrush_margin),
    }


def _relays(sized: SizedPlan) -> dict[str, Device]:
    return {name: device for device in sized.wiring.devices if device.lands is Lands.RELAY for name in device.circuits}


def _wire(sized: SizedWire) -> Json:
    wire = sized.wire
    return {
        "wire": wire.name,
        "from": wire.start.place,
        "to": wire.end.place,
        "from_device": wire.start.device,
        "to_device": wire.end.device,
        "from_cavity": wire.start.seat,
        "to_cavity": wire.end.seat,
        "role": str(wire.role),
        "size": sized.conductor.label,
        "area_mm2": sensible(sized.conductor.area_mm2),
        "colour": wire.colour,
        "length_m": sensible(wire.length_m),
        "path_m": sensible(wire.path.length_m),
        "places": list(wire.path.places),
        "current_a": sensible(wire.current_a),
        "ambient_c": sensible(wire.path.ambient_c),
        "zone": wire.path.hottest_zone,
        "conductor_c": sensible(sized.conductor_c),
        "bundle": wire.bundle,
        "existing": wire.is_existing,
        "protected_by": wire.protected_by,
        "ampacity_a": sensible(sized.ampacity_a),
        "drop_v": sensible(sized.drop_v),
        "governed_by": str(sized.governed_by),
        "tried": [_trial(trial) for trial in sized.tried],
    }


def _trial(trial: Trial) -> Json:
    return {
        "size": trial.size,
        "limit": str(trial.limit),
        "value": sensible(trial.value),
        "allowed": sensible(trial.allowed),
        "unit": trial.unit,
        "ok": trial.ok,
        "source": trial.source,
    }


def _bundle(bundle: Bundle, sized: SizedPlan) -> Json:
    run = sized.wiring.plan.runs[bundle.run]
    return {
        "from": run.start,
        "to": run.end,
        "wires": list(bundle.wires),
        "diameter_mm": sensible(bundle.diameter_mm),
        "covering": str(bundle.covering),
        "covering_mm": sensible(bundle.covering_mm),
        "opening_mm": None if bundle.opening_mm is None else sensible(bundle.opening_mm),
        "middle_c": None if bundle.middle_c is None else sensible(bundle.middle_c),
    }


def _finding(finding: Finding) -> Json:
    return {
        "code": finding.code,
        "severity": str(finding.severity),
        "circuit": finding.circuit,
        "wire": finding.wire,
        "message": finding.message,
        "figure": finding.figure,
        "limit": finding.limit,
        "cure": finding.cure,
    }


def _part(part: Part) -> Json:
    return {
        "kind": str(part.kind),
        "spec": part.spec,
        "quantity": sensible(part.quantity),
        "unit": str(part.unit),
        "circuits": list(part.circuits),
    }


def _hours(hours: Hours) -> Json:
    return {
        **_spread(hours.total),
        "by_section": {name: _spread(spread) for name, spread in hours.sections},
        "elements": [
            {"element": row.element, "count": sensible(row.count), "mean_min": sensible(row.mean_min)}
            for row in hours.elements
        ],
    }


def _spread(spread: Spread) -> Json:
    return {
        "mean": sensible(spread.mean_h),
        "sd": sensible(spread.sd_h),
        "p50": sensible(spread.p50_h),
        "p80": sensible(spread.p80_h),
        "p90": sensible(spread.p90_h),
    }


def _quote(quote: PricedQuote) -> Json:
    return {
        "currency": quote.currency,
        "lines": [
            {
                "class": str(line.line_class),
                "text": line.text,
                "quantity": _number(line.quantity),
                "unit": line.unit,
                "unit_price": str(line.unit_price),
                "net": str(line.net),
                "tax_rate": _number(line.tax_percent),
            }
            for line in quote.lines
        ],
        "taxes": [
            {"tax_rate": _number(group.tax_percent), "taxable": str(group.taxable), "tax": str(group.tax)}
            for group in quote.taxes
        ],
        "net": str(quote.net),
        "tax": str(quote.tax),
        "total": str(quote.total),
        "deposit": str(quote.deposit),
        "labour_basis": quote.labour_basis and str(quote.labour_basis),
        "unpriced": list(quote.unpriced),
    }


def _number(value: Decimal) -> float | int:
    """Quantities and rates are plain numbers; only money is text."""
    return sensible(float(value))


def _supply(found: Supply) -> Json:
    parked = found.parked
    return {
        "feeds": [
            {
                "feed": feed.name,
                "above": feed.above,
                "fuse_a": _or_none(feed.fuse.rating_a if feed.fuse else None),
                "stated_a": _or_none(feed.stated_a),
                "together_a": sensible(feed.together_a),
                "mean_a": {case.value: sensible(drawn_a) for case, drawn_a in feed.mean_a.items()},
            }
            for feed in found.feeds
        ],
        "balance": [
            {
                "case": balance.case.value,
                "load_a": sensible(balance.load_a),
                "alternator_a": _or_none(balance.output_a),
                "left_a": _or_none(balance.left_a),
            }
            for balance in found.balances
        ],
        "parked": {"draw_a": sensible(parked.draw_a), "days": _or_none(parked.days), "circuits": list(parked.circuits)},
        "cranking": [
            {
                "circuit": one.circuit,
                "current_a": sensible(one.current_a),
                "positive_v": sensible(one.positive_v),
                "return_v": sensible(one.return_v),
                "at_starter_v": sensible(one.at_starter_v),
            }
            for one in found.crankings
        ],
    }


def _or_none(value: float | None) -> float | int | None:
    return None if value is None else sensible(value)
