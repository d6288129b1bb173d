"""Sender without a named ground point: it grounds through its thread or flange, so it has no return wire.

(Common practice, no source.) Its supply is a direct feed from its gauge or the circuit that feeds that;
whether it has a fuse of its own is decided in ``protected``.
"""

from __future__ import annotations

from circuits.patterns.draft import Draft
from circuits.patterns.pattern import Pattern
from circuits.patterns.returns import is_wired
from circuits.plan import Kind


def _grounds_itself(draft: Draft) -> bool:
    circuit = draft.circuit
    return circuit.kind is Kind.SENDER and not circuit.ground_at and not is_wired(draft)


def _through_its_body(draft: Draft) -> None:
    draft.back = [[] for _ in draft.load_ends]
    draft.through_chassis = True


SENDER_RETURN = Pattern("sender grounded through its body", _grounds_itself, _through_its_body)
