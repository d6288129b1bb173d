"""Cures of a look-alike: a key, halves the other way round, another series, a tag. Each but the tag is tried."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product
from string import ascii_uppercase

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Connector, Half
from circuits.harness.connectors import Fittings, Junction
from circuits.harness.crossing import SAFETY
from circuits.harness.lookalikes import REACH_M, TAGGED, LookAlike, is_tagged, look_alikes, pairs_in_reach
from circuits.harness.routes import Router
from circuits.plan import Plan
from circuits.wiring import Wiring

_OPPOSITE = {Half.PIN: Half.SOCKET, Half.SOCKET: Half.PIN, Half.LEADS: Half.LEADS}


class CureKind(StrEnum):
    """What is done to one of the two, or to both."""

    KEY = "keying"
    SWAP = "swapped halves"
    SERIES = "another series"
    TAG = "tag"


@dataclass(frozen=True, slots=True)
class LookAlikeCure:
    """One way out.

    Parameters
    ----------
    kind : CureKind
    text : str
        What to do.
    connectors : tuple of Connector
        As they become.
    removes : bool
        False for a tag, which makes a swap less likely and still possible.
    """

    kind: CureKind
    text: str
    connectors: tuple[Connector, ...]
    removes: bool

    def applied(self, plan: Plan) -> Plan:
        """The plan with the cure carried out."""
        changed = {connector.name: connector for connector in self.connectors}
        return replace(plan, connectors=tuple(changed.get(one.name, one) for one in plan.connectors))


def cures_of(look_alike: LookAlike, plan: Plan, reach_m: float = REACH_M) -> tuple[LookAlikeCure, ...]:
    """Cures of one look-alike, those that remove it and make no new one first, then the tag.

    Parameters
    ----------
    look_alike : LookAlike
    plan : Plan
        Of which it was found.
    reach_m : float
        By which it was found [m].

    Examples
    --------
    >>> from circuits.plan import Circuit, Kind, Run, Vehicle
    >>> from circuits.fittings import Cavity
    >>> from circuits.patterns import expand
    >>> lamp = ("lighting", "panel", "lamp", ("nose",), Kind.LAMP)
    >>> lamps = tuple(Circuit(name, "front", *lamp, load_w=21.0) for name in ("side", "turn"))
    >>> bodies = tuple(Connector(name, "nose", "round", Half.SOCKET, 1) for name in ("C1", "C2"))
    >>> cavities = (Cavity("C1", "1", "side"), Cavity("C2", "1", "turn"))
    >>> plan = Plan(Vehicle(), (), (Run("panel", "nose", 2.0),), lamps, bodies, cavities)
    >>> [found] = look_alikes(expand(plan))
    >>> [(cure.kind.value, cure.removes) for cure in cures_of(found, plan)]
    [('keying', True), ('swapped halves', True), ('another series', True), ('tag', False)]
    """
    router = Router(plan)
    this = frozenset((look_alike.first.name, look_alike.second.name))
    before = _alike(plan, this, router, reach_m)
    sound: dict[CureKind, LookAlikeCure] = {}
    for cure in _candidates(look_alike, plan):
        after = _alike(cure.applied(plan), this, router, reach_m)
        if this not in after and after <= before:
            sound.setdefault(cure.kind, cure)
    return (*sound.values(), *_tag(look_alike))


def look_alike_findings(wiring: Wiring) -> tuple[Finding, ...]:
    """A finding for each set of connectors that look alike, the gravest first, with the keys that part them all.

    Parameters
    ----------
    wiring : Wiring

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Vehicle
    >>> look_alike_findings(expand(Plan(Vehicle(), (), (), ())))
    ()
    """
    found = look_alikes(wiring)
    graph: dict[Junction, list[Junction]] = {}
    for one in found:
        graph.setdefault(one.first, []).append(one.second)
        graph.setdefault(one.second, []).append(one.first)
    rank = {connector.name: number for number, connector in enumerate(wiring.plan.connectors)}
    told: set[Junction] = set()
    findings = []
    for worst in found:
        if worst.first not in told:
            alike = _reached(worst.first, graph)
            told |= alike
            in_order = sorted(alike, key=lambda junction: rank[junction.halves[0].name])
            findings.append(_finding(worst, in_order, wiring.plan))
    return tuple(findings)


def _reached(start: Junction, graph: dict[Junction, list[Junction]]) -> set[Junction]:
    reached, waiting = {start}, [start]
    while waiting:
        new = set(graph[waiting.pop()]) - reached
        reached |= new
        waiting += new
    return reached


def _finding(worst: LookAlike, alike: list[Junction], plan: Plan) -> Finding:
    where = _listed(dict.fromkeys(junction.place for junction in alike))
    swapped = "they" if len(alike) == 2 else f"{worst.first.name} and {worst.second.name}"
    names = _listed(junction.name for junction in alike)
    message = f"{names} at {where} look alike: if {swapped} are swapped, {worst.consequence.text}"
    code = "look-alike-danger" if worst.consequence.rank > SAFETY - 1 else "look-alike"
    figure = f"{len(alike)} of {worst.first.halves[0].series}"
    return finding(code, "", message, figure=figure, cure=_key(alike, plan).text)


def _listed(names: Iterable[str]) -> str:
    """``C1, C2 and C3``."""
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last


def _alike(plan: Plan, touching: frozenset[str], router: Router, reach_m: float) -> set[frozenset[str]]:
    """Look-alikes in which one of two connectors has a part, by name."""
    found = pairs_in_reach(Fittings(plan), router, reach_m, touching)
    return {frozenset((one.name, other.name)) for one, other, _ in found}


def _candidates(found: LookAlike, plan: Plan) -> Iterator[LookAlikeCure]:
    yield _key((found.first, found.second), plan)
    for one, other in ((found.second, found.first), (found.first, found.second)):
        swapped = tuple(replace(half, half=_OPPOSITE[half.half]) for half in one.halves)
        text = f"Swap the halves of {one.name}, pin for socket, so that {other.name} does not fit it."
        yield LookAlikeCure(CureKind.SWAP, text, swapped, removes=True)
    series = found.second.halves[0].series
    others = tuple(replace(half, series=f"another than {series}") for half in found.second.halves)
    text = f"Use another series than {series} for {found.second.name}."
    yield LookAlikeCure(CureKind.SERIES, text, others, removes=True)


def _key(alike: Sequence[Junction], plan: Plan) -> LookAlikeCure:
    """Each gets a key that nothing of their series has, unless it has one that no other of them keeps."""
    series = alike[0].halves[0].series
    used = {connector.keying for connector in plan.connectors if connector.series == series}
    letters = (letter for letter in (*ascii_uppercase, *map("".join, product(ascii_uppercase, repeat=2))))
    unused = (letter for letter in letters if letter not in used)
    keys: dict[Junction, str] = {}
    for junction in alike:
        held = next((half.keying for half in junction.halves if half.keying), "")
        keys[junction] = held if held and held not in keys.values() else next(unused)
    changed = tuple(replace(half, keying=key) for junction, key in keys.items() for half in junction.halves)
    text = f"Key {_listed(f'{junction.name} as {key}' for junction, key in keys.items())}."
    return LookAlikeCure(CureKind.KEY, text, changed, removes=True)


def _tag(found: LookAlike) -> Iterator[LookAlikeCure]:
    if is_tagged(found.first) and is_tagged(found.second):
        return
    halves = (half for junction in (found.first, found.second) for half in junction.halves)
    tagged = tuple(
        half if TAGGED in half.notes.casefold() else replace(half, notes=", ".join(filter(None, (half.notes, TAGGED))))
        for half in halves
    )
    text = f"Tag both halves of {found.first.name} and {found.second.name}: a swap is then less likely, not impossible."
    yield LookAlikeCure(CureKind.TAG, text, tagged, removes=False)
