"""The Marsh Hare with connectors: a pair at the bulkhead, one at the tail, and bodies on lamps, switch and horn."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.plan import Plan, Return
from tests.circuits.cast import DIP, HORN, TAIL, marsh_hare

FRONT = replace(DIP, name="dip beam", relay_at="", switch_at="dash", ground_at="")
SIGNAL = replace(HORN, return_by=Return.WIRED)

BODIES = (
    Connector("C1", "bulkhead", "sealed 2.8", Half.PIN, 6, mates_with="C2", in_loom=True),
    Connector("C2", "bulkhead", "sealed 2.8", Half.SOCKET, 6, mates_with="C1", in_loom=True),
    Connector("C3", "tail", "flat 6.3", Half.SOCKET, 4, in_loom=True),
    Connector("C4", "left lamp", "lamp 3", Half.SOCKET, 3),
    Connector("C5", "right lamp", "lamp 3", Half.SOCKET, 3),
    Connector("C6", "dash", "switch 8", Half.SOCKET, 8),
    Connector("C7", "nose", "horn 2", Half.SOCKET, 2),
)
CAVITIES = (
    *(Cavity(name, "1", "dip beam", Holds.IN) for name in ("C1", "C2")),
    *(Cavity(name, "2", "horn", Holds.IN) for name in ("C1", "C2")),
    *(Cavity(name, "3", "horn", Holds.RETURN) for name in ("C1", "C2")),
    Cavity("C3", "1", "tail lamps"),
    *(Cavity(name, "56b", "dip beam") for name in ("C4", "C5")),
    *(Cavity(name, "31", "dip beam", Holds.RETURN) for name in ("C4", "C5")),
    Cavity("C6", "a", "dip beam", Holds.IN),
    Cavity("C6", "b", "dip beam", Holds.OUT),
    Cavity("C6", "c", "tail lamps", Holds.IN),
    Cavity("C6", "d", "tail lamps", Holds.OUT),
    Cavity("C7", "+", "horn"),
    Cavity("C7", "-", "horn", Holds.RETURN),
)


def connected(**changed: Any) -> Plan:
    """The plan, with whatever of ``connectors``, ``cavities``, ``mountings`` is given instead."""
    plan = marsh_hare(FRONT, SIGNAL, TAIL)
    return replace(plan, **({"connectors": BODIES, "cavities": CAVITIES} | changed))


def with_connector(plan: Plan, name: str, **changed: Any) -> Plan:
    """The plan with one connector changed."""
    return replace(plan, connectors=tuple(replace(c, **changed) if c.name == name else c for c in plan.connectors))


def with_cavity(plan: Plan, connector: str, at: str, /, **changed: Any) -> Plan:
    """The plan with one cavity changed."""
    cavities = (
        replace(c, **changed) if (c.connector, c.label) == (connector, at) else c for c in plan.cavities
    )  # fmt: skip
    return replace(plan, cavities=tuple(cavities))


def without_cavity(plan: Plan, connector: str, label: str) -> Plan:
    """The plan with one cavity taken out."""
    return replace(plan, cavities=tuple(c for c in plan.cavities if (c.connector, c.label) != (connector, label)))
