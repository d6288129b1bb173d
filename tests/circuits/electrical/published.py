"""Rows of published tables and worked examples, and conductors made from them."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from circuits.electrical.conductors import COPPER_OHM_MM2_PER_M
from circuits.sized import Conductor

REFERENCE = Path(__file__).parents[2] / "reference"

CIRCMIL_MM2 = 5.067075e-4
"""One circular mil, exact by definition: pi/4 × (0.001 in)² [mm²]."""

FEET_M = 0.3048
KILOFEET_M = 304.8


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """All rows of a table of ``tests/reference``."""
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def read_rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows that were read in a document, not remembered."""
    return tuple(row for row in rows(name) if row.get("read_or_memory", row.get("status", "")).startswith("read"))


def worked(identity: str) -> dict[str, str]:
    """One worked example, its ``note`` and source beside it."""
    return next(row for row in rows("conductor_worked_examples") if row["id"] == identity)


def label(gauge: str) -> str:
    """Our label of a gauge as tables write it: ``0``, ``00`` and ``2/0`` alike."""
    noughts = {"0": "1/0", "00": "2/0", "000": "3/0", "0000": "4/0"}
    return f"{noughts.get(gauge, gauge)} AWG"


def of_resistance(name: str, ohm_per_m: float) -> Conductor:
    """A conductor of a published resistance at 20 °C."""
    return Conductor(name, COPPER_OHM_MM2_PER_M / ohm_per_m, ohm_per_m, 1.0, "published")
