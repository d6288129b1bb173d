"""Feeder: from the battery, or another supply, to the panel it feeds; no return wire of its own.

``fed_at`` is where it starts, with its fuse; ``load_at`` is where it ends, and makes the supply of the
circuits that name it as their feed. With a switch or a relay it is an isolator or a switched supply.
"""

from __future__ import annotations

from circuits.patterns.draft import Draft
from circuits.patterns.pattern import Pattern
from circuits.patterns.protected import supply_end
from circuits.patterns.spread import spread
from circuits.plan import Kind
from circuits.wiring import Role


def _is_feeder(draft: Draft) -> bool:
    return draft.circuit.kind is Kind.FEEDER


def _to_panels(draft: Draft) -> None:
    circuit = draft.circuit
    if draft.trunk_role is Role.LOAD:
        draft.trunk_role = Role.FEED
    spread(draft, [supply_end(draft, circuit.name, place) for place in circuit.load_at])


def _no_return(draft: Draft) -> None:
    """Its current comes back by the circuits it feeds."""
    draft.back = [[] for _ in draft.load_ends]


FEEDER = Pattern("feeder", _is_feeder, _to_panels)
FEEDER_RETURN = Pattern("feeder, no return of its own", _is_feeder, _no_return)
