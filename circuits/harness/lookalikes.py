"""Look-alikes: bodies in the same area that can be plugged where they do not belong, and what would meet then.

Two connectors look alike where all of this holds (common practice, no source):

- They are at the same place, or the way between them over the runs is at most ``REACH_M``: leads reach that far.
- The near half of one fits the far half of the other: same series, opposite halves, same number of ways, and no keys
  that differ; a body without a key is taken to fit any. Near is the half towards the supply, of a device the loom's;
  far is the other, of a device its own. Two near halves come out of one branch side by side and are not mated.
- It matters: something meets that is not the same conductor of the same circuit. Left and right of one circuit may
  swap.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.harness.connectors import Fittings, Junction
from circuits.harness.crossing import Consequence, Contact, Joined, plain_consequence
from circuits.harness.routes import Router
from circuits.wiring import End, Wiring

REACH_M = 0.3
"""Way between two places over which a free body still reaches the other's mate [m] (common practice, no source)."""

TAGGED = "tagged"
"""Word in a connector's notes that says that both halves bear a tag."""

TAG_LOWERS = 0.5
"""How much a tag on both lowers the rank: less than one step, since a tag is not read in the dark."""

_OPPOSITE = {Half.PIN: Half.SOCKET, Half.SOCKET: Half.PIN}

Judge = Callable[[tuple[Joined, ...]], Consequence]
"""Tells what follows when conductors meet; a network of the plan can tell more than the plain rule."""


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Two connectors that can be swapped.

    Parameters
    ----------
    first, second : Junction
        In plan order.
    apart_m : float
        Way between them [m].
    joined : tuple of Joined
        What would meet, cavity by cavity: first with the near half of the first in the far half of the second.
    consequence : Consequence
        Of the worst, lowered where both are tagged.
    """

    first: Junction
    second: Junction
    apart_m: float
    joined: tuple[Joined, ...]
    consequence: Consequence


def look_alikes(wiring: Wiring, judge: Judge = plain_consequence, reach_m: float = REACH_M) -> tuple[LookAlike, ...]:
    """Connectors that look alike, the gravest consequence first, then in plan order.

    Parameters
    ----------
    wiring : Wiring
    judge : callable
        Gives the consequence of what would meet.
    reach_m : float
        Greatest way between the two over the runs [m]; 0 = only at the same place.

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> runs, lamp = (Run("panel", "nose", 2.0),), ("lighting", "panel", "lamp", ("nose",), Kind.LAMP)
    >>> circuits = tuple(Circuit(name, "front", *lamp, load_w=21.0) for name in ("side", "turn"))
    >>> bodies = tuple(Connector(name, "nose", "round", Half.SOCKET, 2) for name in ("C1", "C2"))
    >>> cavities = (Cavity("C1", "1", "side"), Cavity("C1", "2", "side", Holds.RETURN), Cavity("C2", "2", "turn"))
    >>> [found] = look_alikes(expand(Plan(Vehicle(), (), runs, circuits, bodies, cavities)))
    >>> found.first.name, found.second.name, found.consequence.text
    ('C1', 'C2', 'side return meets turn in: a live conductor meets a ground')
    """
    plan = wiring.plan
    if len(plan.connectors) < 2:
        return ()
    seats = _seats(wiring)
    fittings = Fittings(plan)
    found = []
    for one, other, apart_m in pairs_in_reach(fittings, Router(plan), reach_m):
        joined = (*_joined(one, other, fittings, seats), *_joined(other, one, fittings, seats))
        if any(not meeting.is_harmless for meeting in joined):
            consequence = judge(joined)
            if is_tagged(one) and is_tagged(other):
                consequence = Consequence(consequence.rank - TAG_LOWERS, f"{consequence.text} (both are tagged)")
            found.append(LookAlike(one, other, apart_m, joined, consequence))
    return tuple(sorted(found, key=lambda one: -one.consequence.rank))


def pairs_in_reach(
    fittings: Fittings, router: Router, reach_m: float, touching: frozenset[str] = frozenset()
) -> Iterator[tuple[Junction, Junction, float]]:
    """Connectors of which one fits in place of the other, with the way between them [m]; in plan order.

    Parameters
    ----------
    fittings : Fittings
    router : Router
        Of the same plan.
    reach_m : float
    touching : frozenset of str
        Junctions of which one must be in the pair; empty = any.
    """
    groups: defaultdict[tuple[str, int], list[Junction]] = defaultdict(list)
    for junction in fittings.junctions:
        if junction.halves[0].series and junction.place in router:
            groups[junction.halves[0].series, _ways(junction.halves[0], fittings)].append(junction)
    for alike in groups.values():
        for one, other in combinations(alike, 2):
            if touching and not {one.name, other.name} & touching:
                continue
            if _swap(one, other) or _swap(other, one):
                apart_m = _apart_m(router, one.place, other.place)
                if apart_m is not None and apart_m <= reach_m:
                    yield one, other, apart_m


def is_tagged(junction: Junction) -> bool:
    """True where the notes of a connector say that it is tagged."""
    return any(TAGGED in half.notes.casefold() for half in junction.halves)


def _apart_m(router: Router, one: str, other: str) -> float | None:
    return router.path(one, other).length_m if router.is_joined(one, other) else None


def _ways(connector: Connector, fittings: Fittings) -> int:
    return connector.ways or len(fittings.cavities.get(connector.name, ()))


def _near(junction: Junction) -> tuple[Connector, Half]:
    return junction.sides[0] if junction.in_loom else (junction.halves[0], junction.halves[0].half)


def _far(junction: Junction) -> tuple[Connector, Half]:
    """The far half; that of a device which is not written down is the opposite of the loom's."""
    if junction.in_loom:
        return junction.sides[1]
    last = junction.halves[-1]
    return (last, last.half) if len(junction.halves) == 2 else (last, _OPPOSITE.get(last.half, Half.LEADS))


def _swap(one: Junction, other: Junction) -> bool:
    """True where the near half of one mates with the far half of the other."""
    (near, near_half), (far, far_half) = _near(one), _far(other)
    keyed_apart = bool(near.keying and far.keying and near.keying != far.keying)
    return _OPPOSITE.get(near_half) is far_half and not keyed_apart


def _seats(wiring: Wiring) -> dict[tuple[str, str, Half | None], tuple[str, End]]:
    """Wire and end in each cavity of each half."""
    return {
        (end.connector, end.cavity, end.half): (wire.name, end)
        for wire in wiring.wires
        for end in (wire.start, wire.end)
        if end.connector
    }


def _joined(
    one: Junction, other: Junction, fittings: Fittings, seats: dict[tuple[str, str, Half | None], tuple[str, End]]
) -> Iterator[Joined]:
    """What meets when the near half of one is plugged into the far half of the other."""
    if not _swap(one, other):
        return
    safe = fittings.safety
    near = [_contact(cavity, _near(one), one, seats) for cavity in _held(one, _near(one)[0], fittings)]
    far = [_contact(cavity, _far(other), other, seats) for cavity in _held(other, _far(other)[0], fittings)]
    for mine, theirs in _facing(near, far):
        yield Joined(mine, theirs, bool({mine.circuit, theirs.circuit} & safe))


def _held(junction: Junction, half: Connector, fittings: Fittings) -> tuple[Cavity, ...]:
    """Cavities of one half as they are filled: listed in it, else in the half that faces it."""
    own = fittings.cavities.get(half.name, ())
    return own or next((fittings.cavities[h.name] for h in junction.halves if h.name in fittings.cavities), ())


def _contact(
    cavity: Cavity,
    side: tuple[Connector, Half],
    junction: Junction,
    seats: dict[tuple[str, str, Half | None], tuple[str, End]],
) -> Contact:
    body, half = side
    keys = ((body.name, cavity.label, half), *((h.name, cavity.label, h.half) for h in junction.halves))
    wire, end = next((seats[key] for key in keys if key in seats), ("", None))
    holds: Holds | None = cavity.holds if cavity.circuit else None
    return Contact(body.name, half, cavity.label, cavity.circuit, holds, wire, end.device if end else "")


def _facing(near: list[Contact], far: list[Contact]) -> Iterable[tuple[Contact, Contact]]:
    """Contacts that meet: those of the same label; in the order listed where the labels are not the same."""
    by_label = {contact.cavity: contact for contact in far}
    labels = {contact.cavity for contact in near}
    if labels & by_label.keys():
        nothing = {label: Contact(near[0].connector, near[0].half, label) for label in by_label.keys() - labels}
        mine = [*near, *(nothing[contact.cavity] for contact in far if contact.cavity in nothing)]
        blank = Contact(far[0].connector, far[0].half, "")
        return [(contact, by_label.get(contact.cavity, blank)) for contact in mine]
    return list(zip(near, far, strict=False))
