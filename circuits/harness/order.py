"""The order of work: packages by stage and section, and what must be done before what.

Strip out, panel, pull, terminate, prove, cover, refit, and where sections meet, rules of the bench: a lead that crosses
an opening is pulled through before a body goes on that does not pass it; a device is wired before it is mounted; a part
is mounted after what it hides; a run is covered when every wire that lies in it has been pulled (common practice, no
source).
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.harness.order_notes import notes_of
from circuits.harness.order_rules import mounting_rules, rules_of
from circuits.harness.packages import (
    STAGES,
    WHOLE_VEHICLE,
    Before,
    OrderOfWork,
    Package,
    PackageKey,
    WorkStage,
    contents_of,
    section_order,
)
from circuits.wiring import Wiring

__all__ = [
    "STAGES",
    "WHOLE_VEHICLE",
    "Before",
    "OrderOfWork",
    "Package",
    "PackageKey",
    "WorkStage",
    "order_of_work",
    "section_order",
]


def order_of_work(wiring: Wiring, own: Sequence[Before] = ()) -> OrderOfWork:
    """Packages of a wiring, in a lawful order.

    Parameters
    ----------
    wiring : Wiring
    own : sequence of Before
        What the shop adds for this vehicle. One that contradicts the rest is left out and becomes a finding.

    Returns
    -------
    OrderOfWork
        The same for the same wiring, whatever else is in memory.

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0)
    >>> order = order_of_work(expand(Plan(Vehicle(), (), (Run("panel", "nose", 2.0, opening_mm=20.0),), (horn,))))
    >>> [str(package.key) for package in order.packages][:4]
    ['strip out: whole vehicle', 'strip out: front', 'panel: whole vehicle', 'pull: front']
    """
    if not wiring.plan.circuits:
        return OrderOfWork((), ())
    contents = contents_of(wiring)
    rules = [rule for rule in rules_of(wiring, contents) if rule.first in contents and rule.then in contents]
    for rule in mounting_rules(wiring, contents):
        if not _way(
            rule.then, rule.first, rules
        ):  # what one package holds may be mounted in two goes: then a note says so
            rules.append(rule)
    found: list[Finding] = []
    for rule in own:
        problem = _problem(rule, rules, contents)
        if problem is None:
            rules.append(rule)
        else:
            found.append(problem)
    notes = notes_of(wiring, contents)
    ordered = _sorted(tuple(contents), rules, section_order(wiring.plan))
    packages = tuple(
        Package(key, contents[key], tuple(notes.get(key, ())), tuple(rule for rule in rules if rule.then == key))
        for key in ordered
    )
    return OrderOfWork(packages, tuple(found))


def _problem(rule: Before, rules: list[Before], contents: dict[PackageKey, tuple[str, ...]]) -> Finding | None:
    unknown = [str(key) for key in (rule.first, rule.then) if key not in contents]
    if unknown:
        return finding("order-unknown", "", f"The order of work names {unknown[0]!r}, and there is no such package.")
    way = _way(rule.then, rule.first, rules)
    if way:
        chain = ", then ".join(str(key) for key in way)
        message = f"{rule.first} is wanted before {rule.then}, but the other way round is needed: {chain}."
        return finding("order-contradiction", "", message)
    return None


def _way(start: PackageKey, goal: PackageKey, rules: Sequence[Before]) -> list[PackageKey]:
    """Packages from ``start`` to ``goal`` along the rules; empty where none leads there."""
    before: dict[PackageKey, PackageKey] = {start: start}
    waiting = [start]
    for at in waiting:
        for rule in rules:
            if rule.first == at and rule.then not in before:
                before[rule.then] = at
                waiting.append(rule.then)
    if goal not in before:
        return []
    way = [goal]
    while way[-1] != start:
        way.append(before[way[-1]])
    return way[::-1]


def _sorted(keys: tuple[PackageKey, ...], rules: Sequence[Before], sections: dict[str, int]) -> tuple[PackageKey, ...]:
    """Kahn's algorithm; of packages that are free the earlier stage comes first, then the earlier section."""
    rank = {key: (STAGES.index(key.stage), sections[key.section]) for key in keys}
    missing = {key: len({rule.first for rule in rules if rule.then == key}) for key in keys}
    free = [(rank[key], key) for key in keys if not missing[key]]
    heapq.heapify(free)
    ordered: list[PackageKey] = []
    while free:
        _, key = heapq.heappop(free)
        ordered.append(key)
        for then in {rule.then for rule in rules if rule.first == key}:
            missing[then] -= 1
            if not missing[then]:
                heapq.heappush(free, (rank[then], then))
    return tuple(ordered)
