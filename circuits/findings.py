"""Findings: what reads but makes no sense, as data. One rule, one function, one code, one test."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding weighs. An ERROR must be cured before anything is built."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something in a plan that a person must see.

    Parameters
    ----------
    code : str
        Stable identifier in kebab-case, e.g. ``no-path``; documented in the in-app help.
    severity : Severity
    circuit : str
        Circuit concerned; empty if the whole plan is.
    wire : str
        Wire concerned; empty if the whole circuit is.
    message : str
        One plain sentence naming the object.
    figure, limit : str
        The figure found and the limit it broke, with units; empty where there is none.
    cure : str
        What would remove the finding.
    """

    code: str
    severity: Severity
    circuit: str
    wire: str
    message: str
    figure: str
    limit: str
    cure: str
