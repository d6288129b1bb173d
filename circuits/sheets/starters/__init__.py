"""Starter plans to copy from: whole vehicles of no maker, in an invented setting.

Lamps have the rated watts of their UN R37 category; at charging voltage one draws some 5 to 15 % more
than its watts over system voltage, which the margin of a continuous load on its fuse covers. Other
currents are common practice. ``SOURCES.csv`` names the source of each figure. A starter is a place to
start from: measure the loads and the runs of the vehicle at hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from circuits.errors import TableError
from circuits.plan import Plan
from circuits.sheets.reading import read_sheet

STARTERS: Mapping[str, str] = MappingProxyType(
    {
        "closed_car": "Closed car, four seats",
        "pickup": "Pickup",
        "open_two_seater": "Open two-seater",
        "small_van": "Small van",
    }
)
"""Title by key, in the order they are offered."""


@cache
def load_starter(key: str) -> Plan:
    """Starter plan of that key.

    Raises
    ------
    TableError
        If there is none.

    Examples
    --------
    >>> len(load_starter("closed_car").circuits)
    42
    """
    if key not in STARTERS:
        raise TableError(f"no starter plan named {key!r}; there are {', '.join(STARTERS)}")
    return read_sheet(Path(__file__).parent / key)
