"""Findings by code: severity and the usual cure come from ``circuits/finding_codes.csv``."""

from __future__ import annotations

import csv
from pathlib import Path

from circuits.findings import Finding, Severity


def _read_codes() -> dict[str, tuple[Severity, str]]:
    with Path(__file__).with_name("finding_codes.csv").open(encoding="utf-8", newline="") as file:
        return {row["code"]: (Severity(row["severity"]), row["cure"]) for row in csv.DictReader(file)}


_CODES = _read_codes()


def finding(
    code: str, circuit: str, message: str, *, wire: str = "", figure: str = "", limit: str = "", cure: str = ""
) -> Finding:
    """The finding of that code on a circuit, or on the whole plan where ``circuit`` is empty.

    Parameters
    ----------
    code : str
        One of the table's; the severity is the table's too.
    circuit, wire : str
    message : str
        One plain sentence naming the object.
    figure, limit : str
        With units.
    cure : str
        Where a better one is known than the table's.

    Raises
    ------
    KeyError
        If the table has no such code.

    Examples
    --------
    >>> finding("no-path", "horn", "horn: no run leads from panel to grille").cure
    'Add the missing run.'
    """
    severity, usual_cure = _CODES[code]
    return Finding(code, severity, circuit, wire, message, figure, limit, cure or usual_cure)
