"""Cures of a look-alike: a key, halves the other way round, another series, a tag. Each but the tag is tried."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from string import ascii_uppercase

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import Connector, Half
from circuits.harness.connectors import Fittings
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
    """A finding for each look-alike, with the key that removes it.

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
    return tuple(_finding(found, wiring.plan) for found in look_alikes(wiring))


def _finding(found: LookAlike, plan: Plan) -> Finding:
    one, other = found.first, found.second
    where = f"at {one.place}" if one.place == other.place else f"at {one.place} and {other.place}"
    message = f"{one.name} and {other.name} {where} look alike: if they are swapped, {found.consequence.text}"
    code = "look-alike-danger" if found.consequence.rank > SAFETY - 1 else "look-alike"
    series = one.halves[0].series
    return finding(code, "", message, figure=f"both {series}", cure=_key(found, plan).text)


def _alike(plan: Plan, touching: frozenset[str], router: Router, reach_m: float) -> set[frozenset[str]]:
    """Look-alikes in which one of two connectors has a part, by name."""
    found = pairs_in_reach(Fittings(plan), router, reach_m, touching)
    return {frozenset((one.name, other.name)) for one, other, _ in found}


def _candidates(found: LookAlike, plan: Plan) -> Iterator[LookAlikeCure]:
    yield _key(found, plan)
    for one, other in ((found.second, found.first), (found.first, found.second)):
        swapped = tuple(replace(half, half=_OPPOSITE[half.half]) for half in one.halves)
        text = f"Swap the halves of {one.name}, pin for socket, so that {other.name} does not fit it."
        yield LookAlikeCure(CureKind.SWAP, text, swapped, removes=True)
    series = found.second.halves[0].series
    others = tuple(replace(half, series=f"another than {series}") for half in found.second.halves)
    text = f"Use another series than {series} for {found.second.name}."
    yield LookAlikeCure(CureKind.SERIES, text, others, removes=True)


def _key(found: LookAlike, plan: Plan) -> LookAlikeCure:
    """Both get a key that nothing of their series has; one that has a key keeps it."""
    series = found.first.halves[0].series
    used = {connector.keying for connector in plan.connectors if connector.series == series}
    free = (letter for letter in (*ascii_uppercase, *(f"{a}{b}" for a in ascii_uppercase for b in ascii_uppercase)))
    unused = (letter for letter in free if letter not in used)
    changed: list[Connector] = []
    words = []
    for junction, may_keep in ((found.first, True), (found.second, False)):
        held = next((half.keying for half in junction.halves if half.keying), "")
        key = held if held and may_keep else next(unused)
        changed += (replace(half, keying=key) for half in junction.halves)
        words.append(f"{junction.name} as {key}")
    return LookAlikeCure(CureKind.KEY, f"Key {words[0]} and {words[1]}.", tuple(changed), removes=True)


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
