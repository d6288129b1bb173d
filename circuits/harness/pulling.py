"""How each lead gets through the openings on its way: with its body on, bare, the other way round, or not at all.

Leads are pulled from the supply outwards, so that their far end goes through. A body that passes every opening is
fitted at the bench; one that does not, or whose size nobody wrote down, goes on after pulling. What is on already
cannot wait: a body that its notes call moulded, and a part that is wired at the bench before it is mounted. Where such
an end does not pass, the lead goes through from there, its other end first; where that one cannot either, it cannot be
built (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from circuits.figures import format_diameter
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Connector
from circuits.wiring import End, Role, Wire, Wiring

MOULDED = ("moulded", "molded")
"""Words in the notes of a connector whose body came with its leads and stays on them."""


class Fitted(StrEnum):
    """When the end that goes through the openings gets its body."""

    BENCH = "at the bench"
    AFTER = "after pulling"
    NEVER = "cannot be pulled"


@dataclass(frozen=True, slots=True)
class Threading:
    """One lead that is pulled through openings.

    Parameters
    ----------
    wire : Wire
    run : int
        Of the smallest opening it passes, an index into the plan's runs.
    opening_mm : float
        That opening [mm].
    end : End
        The one that goes through.
    fitted : Fitted
    body_mm : float or None
        What its body needs [mm]; None = not known, or it has none.
    is_turned : bool
        True where it goes through towards the supply, as its far end is on already and does not pass.
    """

    wire: Wire
    run: int
    opening_mm: float
    end: End
    fitted: Fitted
    body_mm: float | None
    is_turned: bool = False


def threadings(wiring: Wiring) -> tuple[Threading, ...]:
    """How each fresh lead gets through the openings on its way, in the order of the wires.

    Parameters
    ----------
    wiring : Wiring

    Examples
    --------
    >>> from circuits.fittings import Cavity
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0)
    >>> runs, body = (Run("panel", "nose", 2.0, opening_mm=20.0),), Connector("C1", "nose", body_mm=24.0)
    >>> [lead] = threadings(expand(Plan(Vehicle(), (), runs, (horn,), (body,), (Cavity("C1", "1", "horn"),))))
    >>> lead.wire.name, lead.end.connector, lead.fitted.value
    ('horn/1', 'C1', 'after pulling')
    """
    plan = wiring.plan
    bodies = {connector.name: connector for connector in plan.connectors}
    wired_first = {mounting.place for mounting in plan.mountings if mounting.wired_first and mounting.place}
    found = []
    for wire in wiring.wires:
        openings = [(mm, run) for run in wire.path.runs if (mm := plan.runs[run].opening_mm) is not None]
        if openings and not wire.is_existing:
            found.append(_thread(wire, *min(openings), bodies, wired_first))
    return tuple(found)


def pulling_findings(wiring: Wiring) -> tuple[Finding, ...]:
    """cannot-be-pulled: leads of which both ends are on already and neither passes an opening on the way.

    Leads between the same two bodies or parts are told once.

    Parameters
    ----------
    wiring : Wiring
    """
    stuck: dict[tuple[int, frozenset[str]], list[Threading]] = {}
    for lead in threadings(wiring):
        if lead.fitted is Fitted.NEVER:
            ends = frozenset(_what(end, wiring) for end in (lead.wire.start, lead.wire.end))
            stuck.setdefault((lead.run, ends), []).append(lead)
    return tuple(_stuck(leads, wiring) for leads in stuck.values())


def _thread(
    wire: Wire, opening_mm: float, run: int, bodies: dict[str, Connector], wired_first: set[str]
) -> Threading:  # fmt: skip
    ends = list(_far_first(wire))
    for number, end in enumerate(ends):
        body = bodies.get(end.connector)
        body_mm = body.body_mm if body else None
        is_on = is_moulded(body) or end.place in wired_first
        passes = body_mm is not None and body_mm <= opening_mm and end.place not in wired_first
        if passes or not is_on:
            fitted = Fitted.BENCH if passes else Fitted.AFTER
            return Threading(wire, run, opening_mm, end, fitted, body_mm, is_turned=number == 1)
    needed = [body.body_mm for end in ends if (body := bodies.get(end.connector)) and body.body_mm]
    return Threading(wire, run, opening_mm, ends[0], Fitted.NEVER, min(needed, default=None))


def is_moulded(connector: Connector | None) -> bool:
    """True where the notes of a connector say that its body is moulded on.

    Examples
    --------
    >>> is_moulded(Connector("C1", "nose", notes="Moulded plug")), is_moulded(None)
    (True, False)
    """
    return connector is not None and any(word in connector.notes.casefold() for word in MOULDED)


def _far_first(wire: Wire) -> tuple[End, End]:
    """Both ends, the one that is pulled through first: away from the supply; of a return from a connector that one."""
    is_back = wire.role is Role.RETURN or wire.start.terminal == "85"
    if is_back and wire.start.connector:
        return wire.start, wire.end
    return wire.end, wire.start


def _stuck(leads: list[Threading], wiring: Wiring) -> Finding:
    lead, names = leads[0], ", ".join(lead.wire.name for lead in leads)
    run, opening = wiring.plan.runs[lead.run].name, format_diameter(lead.opening_mm)
    ends = " and ".join(_what(end, wiring) for end in _far_first(lead.wire))
    message = f"{names} cannot be pulled through {run}: {ends} are on before, and neither passes {opening}"
    return finding(
        "cannot-be-pulled",
        lead.wire.circuit,
        message,
        wire=lead.wire.name,
        figure=format_diameter(lead.body_mm) if lead.body_mm else "part wired at the bench",
        limit=opening,
    )


def _what(end: End, wiring: Wiring) -> str:
    """The body or the part that is on an end already."""
    parts: Iterator[str] = (m.part for m in wiring.plan.mountings if m.wired_first and m.place == end.place)
    return next(parts, "") or end.connector
