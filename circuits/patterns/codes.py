"""Findings by code: severity and the usual cure come from ``circuits/finding_codes.csv``."""

from __future__ import annotations

import csv
from pathlib import Path

from circuits.findings import Finding, Severity


def _read_codes() -> dict[str, tuple[Severity, str]]:
    with (Path(__file__).parent.parent / "finding_codes.csv").open(encoding="utf-8", newline="") as file:
        return {row["code"]: (Severity(row["severity"]), row["cure"]) for row in csv.DictReader(file)}


_CODES = _read_codes()


def finding(code: str, circuit: str, message: str, *, cure: str = "", figure: str = "", limit: str = "") -> Finding:
    """The finding of that code on a circuit; ``cure`` where a better one is known than the usual.

    Examples
    --------
    >>> finding("no-path", "horn", "horn: no run leads from panel to grille").cure
    'Add the missing run.'
    """
    severity, usual_cure = _CODES[code]
    return Finding(code, severity, circuit, "", message, figure, limit, cure or usual_cure)
