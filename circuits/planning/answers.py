"""What the server answers after a change: the rows stored, every result that is now another, the plan in figures."""

from __future__ import annotations

from typing import Any

from django.template.loader import render_to_string

from circuits.planning.edits import Changed
from circuits.planning.grid import row_data, words
from circuits.planning.listing import CAVITIES, CIRCUITS, CONNECTORS, RUNS, Listing
from circuits.planning.results import (
    bundle_result,
    cavity_results,
    circuit_result,
    connector_results,
    findings_by_circuit,
    totals,
)
from circuits.planning.rules import rules_stamp
from circuits.planning.sized_cache import SIZED
from circuits.planning.store import LoadedPlan, load, size_loaded
from circuits.planning.summary import summary
from circuits.sized import SizedPlan


def results(listing: Listing, names: dict[str, int], sized: SizedPlan, drawn: dict[str, str]) -> dict[int, Any]:
    """What stands beside each row, by row id; ``names`` gives their ids as ``row_names`` does."""
    if listing is CIRCUITS:
        findings = findings_by_circuit(sized)
        return {
            names[circuit.circuit.name]: circuit_result(circuit, findings.get(circuit.circuit.name, []), drawn)
            for circuit in sized.circuits
            if circuit.circuit.name in names
        }
    if listing is RUNS:
        bundles = {str(bundle.run): bundle for bundle in sized.bundles}
        return {row_id: bundle_result(bundles.get(index)) for index, row_id in names.items()}
    if listing in (CONNECTORS, CAVITIES):
        told = connector_results(sized) if listing is CONNECTORS else cavity_results(sized, drawn)
        return {row_id: told[name] for name, row_id in names.items() if name in told}
    return {}


def row_names(listing: Listing, rows: Any) -> dict[str, int]:
    """Ids of rows by what results call them: a run by its index, others by their name."""
    if listing.key:
        return {str(row): row.pk for row in rows}
    return {str(index): row.pk for index, row in enumerate(rows)}


def list_data(listing: Listing, loaded: LoadedPlan, sized: SizedPlan, drawn: dict[str, str]) -> list[dict[str, Any]]:
    """All rows of a list with their results, in order."""
    rows = loaded.rows_of(listing.name)
    by_id = results(listing, row_names(listing, rows), sized, drawn)
    return [
        {"id": row.pk, "version": row.version, "cells": listing.texts_of(value), "result": by_id.get(row.pk)}
        for row, value in zip(rows, getattr(loaded.plan, listing.name), strict=True)
    ]


def answer(listing: Listing, changed: Changed, known_version: Any) -> dict[str, Any]:
    """Answer to an editor that last saw the plan at ``known_version``.

    One that missed nothing gets its own rows and the results that are now another; any other gets the whole list.
    """
    loaded = load(changed.plan_row.pk)
    sized = size_loaded(loaded)
    drawn: dict[str, str] = {}
    told = {
        "version": loaded.row.version,
        "rows": {key: row_data(listing, row) for key, row in changed.rows.items()},
        "lists": words(loaded.plan, sized.rules),
        "drawn": drawn,
        "summary": _summary_html(loaded, sized, SIZED.get(changed.stamp_before, rules_stamp())),
    }
    missed_nothing = known_version in (changed.plan_row.version - 1, changed.plan_row.version)
    if not missed_nothing or loaded.row.version != changed.plan_row.version:
        return told | {"list": list_data(listing, loaded, sized, drawn)}
    rows = loaded.rows_of(listing.name)
    now = results(listing, row_names(listing, rows), sized, drawn)
    return told | {
        "others": [row_data(listing, row) for row in changed.others],
        "results": _differing(listing, changed, row_names(listing, rows), now),
    }


def _summary_html(loaded: LoadedPlan, sized: SizedPlan, before: SizedPlan | None) -> str:
    """The plan in figures anew; empty where it says the same as before."""
    names = [circuit.circuit.name for circuit in sized.circuits]
    if (
        before is not None
        and before.findings == sized.findings
        and totals(before) == totals(sized)
        and names == [circuit.circuit.name for circuit in before.circuits]
    ):
        return ""
    return render_to_string("circuits/planning/_summary.html", {"summary": summary(loaded, sized)})


def _differing(listing: Listing, changed: Changed, names: dict[str, int], now: dict[int, Any]) -> dict[int, Any]:
    before = SIZED.get(changed.stamp_before, rules_stamp())
    if before is None or listing is not CIRCUITS:
        return now
    then = results(listing, names, before, {})
    own = {row.pk for row in changed.rows.values()}
    return {row_id: result for row_id, result in now.items() if row_id in own or then.get(row_id) != result}
