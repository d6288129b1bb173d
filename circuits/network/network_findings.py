"""Findings of the network, by code: severity and usual cure stand in the table beside this code."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from circuits.findings import Finding, Severity


@cache
def _codes() -> dict[str, tuple[Severity, str]]:
    with (Path(__file__).parent / "finding_codes.csv").open(encoding="utf-8", newline="") as file:
        return {row["code"]: (Severity(row["severity"]), row["cure"]) for row in csv.DictReader(file)}


def network_finding(
    code: str, circuit: str, message: str, *, wire: str = "", figure: str = "", limit: str = ""
) -> Finding:
    """The finding of that code.

    Parameters
    ----------
    code : str
        One of the table's.
    circuit, wire : str
        Empty where the whole plan, or the whole circuit, is concerned.
    message : str
        One plain sentence naming the object.
    figure, limit : str
        With units.

    Raises
    ------
    KeyError
        If the table has no such code.

    Examples
    --------
    >>> network_finding("relay-oscillates", "horn", "relay horn chatters").severity.value
    'error'
    """
    severity, cure = _codes()[code]
    return Finding(code, severity, circuit, wire, message, figure, limit, cure)
