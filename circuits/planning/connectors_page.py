"""What the connectors page shows: each body drawn, pairs that can be swapped with their cures, findings of fittings."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.drawings.connector_face import Seated, connector_face
from circuits.drawings.shapes import Drawing
from circuits.figures import format_area, format_current, format_diameter, format_length
from circuits.findings import Finding
from circuits.fittings import Connector, Half
from circuits.harness.crossing import Consequence, plain_consequence
from circuits.harness.lookalike_cures import LookAlikeCure, cures_of
from circuits.harness.lookalikes import Judge, LookAlike, look_alikes
from circuits.planning.results import SEVERITIES
from circuits.sized import SizedPlan

MOST_PAIRS = 12
"""Pairs whose cures are tried and shown; a plan with more has one finding for each set of them anyway."""

CODES = frozenset(
    (
        *("connector-place-unknown", "mate-unknown", "mate-taken", "mate-elsewhere", "pair-mismatch", "pair-crossed"),
        *("cavity-connector-unknown", "cavity-circuit-unknown", "cavity-listed-twice", "cavity-without-conductor"),
        *("conductor-without-cavity", "pair-not-passed", "connector-not-reached", "lead-not-married"),
        *("cavities-over-ways", "contact-wire-range", "contact-over-rating"),
        *("cannot-be-pulled", "mounting-hides-unknown", "colour-repeated-in-connector"),
    )
)
"""Findings that concern fittings; look-alikes are told pair by pair."""


@dataclass(frozen=True, slots=True)
class Face:
    """One connector with its drawing and its facts in words."""

    connector: Connector
    drawing: Drawing
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pair:
    """Two connectors that can be swapped, what follows and what cures it."""

    look_alike: LookAlike
    apart: str
    cures: tuple[LookAlikeCure, ...]
    under_power: Consequence

    @property
    def rank(self) -> float:
        """The graver of what meets by the plain rule and of what the network then does."""
        return max(self.look_alike.consequence.rank, self.under_power.rank)

    @property
    def names(self) -> str:
        """``fan plug, horn plug``."""
        return f"{self.look_alike.first.name}, {self.look_alike.second.name}"

    @property
    def meetings(self) -> tuple[str, ...]:
        """What would meet, harmless ones left out."""
        return tuple(dict.fromkeys(meeting.text for meeting in self.look_alike.joined if not meeting.is_harmless))


@dataclass(frozen=True, slots=True)
class ConnectorsShown:
    """Everything below the grids."""

    faces: tuple[Face, ...]
    pairs: tuple[Pair, ...]
    more_pairs: int
    findings: tuple[Finding, ...]


def connectors_shown(sized: SizedPlan, judge: Judge = plain_consequence) -> ConnectorsShown:
    """The connectors of a plan, drawn and judged.

    Parameters
    ----------
    sized : SizedPlan
    judge : callable
        Tells what follows under power, for the pairs that are shown.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.fittings import Cavity
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> body = (Connector("horn plug", "grille", "flat", ways=2),)
    >>> plan = Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,), body, (Cavity("horn plug", "1", "horn"),))
    >>> connectors_shown(size_plan(plan)).faces[0].facts
    ('at grille', 'flat, 2 ways', 'on a device')
    """
    found = look_alikes(sized.wiring)
    plan = sized.wiring.plan
    pairs = [Pair(one, _apart(one), cures_of(one, plan), judge(one.joined)) for one in found[:MOST_PAIRS]]
    pairs.sort(key=lambda pair: -pair.rank)
    told = sorted(
        (finding for finding in sized.findings if finding.code in CODES),
        key=lambda finding: SEVERITIES.index(finding.severity),
    )
    return ConnectorsShown(_faces(sized), tuple(pairs), max(0, len(found) - MOST_PAIRS), tuple(told))


def _apart(found: LookAlike) -> str:
    place, other = found.first.place, found.second.place
    return f"both at {place}" if place == other else f"{place} and {other}, {format_length(found.apart_m)} apart"


def _faces(sized: SizedPlan) -> tuple[Face, ...]:
    plan = sized.wiring.plan
    colours: dict[tuple[str, str, Half | None], str] = {}
    for sized_wire in sized.wires:
        for end in (sized_wire.wire.start, sized_wire.wire.end):
            if end.connector:
                colours.setdefault((end.connector, end.cavity, end.half), sized_wire.wire.colour)
    seated: dict[str, list[Seated]] = {}
    halves = {connector.name: connector.half for connector in plan.connectors}
    for cavity in plan.cavities:
        colour = colours.get((cavity.connector, cavity.label, halves.get(cavity.connector)), "")
        seated.setdefault(cavity.connector, []).append(Seated(cavity, colour))
    return tuple(
        Face(connector, connector_face(connector, seated.get(connector.name, ())), _facts(connector))
        for connector in plan.connectors
    )


def _facts(connector: Connector) -> tuple[str, ...]:
    ways = f"{connector.ways} way{'s' if connector.ways > 1 else ''}" if connector.ways else ""
    key = f"key {connector.keying}" if connector.keying else ""
    if connector.half is Half.LEADS:
        belongs = "a unit with leads of its own"
    elif connector.mates_with:
        belongs = f"mates with {connector.mates_with}{', in the loom' if connector.in_loom else ''}"
    else:
        belongs = "in the loom, one half written down" if connector.in_loom else "on a device"
    return tuple(
        filter(
            None,
            (
                f"at {connector.place}",
                ", ".join(filter(None, (connector.series, ways, key))),
                belongs,
                _contacts(connector),
                f"passes an opening of {format_diameter(connector.body_mm)}" if connector.body_mm else "",
                connector.notes,
            ),
        )
    )


def _contacts(connector: Connector) -> str:
    low, high = connector.min_area_mm2, connector.max_area_mm2
    wire = ""
    if low and high:
        wire = f"wire {format_area(low)} to {format_area(high)}"
    elif low or high:
        wire = f"wire {'from' if low else 'up to'} {format_area(low or high or 0.0)}"
    rated = f"{format_current(connector.contact_a)} a contact" if connector.contact_a else ""
    return ", ".join(filter(None, (wire, rated)))
