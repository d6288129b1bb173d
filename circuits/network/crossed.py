"""Connectors mated with the wrong one, and cavities swapped: what the vehicle then does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations

import numpy as np

from circuits.harness.crossing import Consequence, Contact, Joined, plain_consequence
from circuits.harness.lookalikes import LookAlike, look_alikes
from circuits.network.branches import Branches
from circuits.network.build import PlanNetwork
from circuits.network.elements import Part
from circuits.network.faults import Comparison, Fault, Faulted, FaultKind
from circuits.network.faults import Consequence as Happening
from circuits.network.states import switched_on

DANGER_PER_RANK = 20.0
"""Danger of a finding, up to some 100, set beside the ranks of the plain rule, up to 5."""

IN, OUT = ", in", ", out"


def swaps_within(built: PlanNetwork, connector: str) -> Iterator[Fault]:
    """Every swap of two filled cavities of a connector, as a fault.

    Parameters
    ----------
    built : PlanNetwork
    connector : str
        Its name in the plan.
    """
    joints = [
        f"joint at {sized.wire.name} {side}"
        for sized in built.plan.wires
        for side, end in (("start", sized.wire.start), ("end", sized.wire.end))
        if end.connector == connector
    ]
    for one, other in combinations(joints, 2):
        yield Fault(FaultKind.SWAPPED, one, other)


def mated(built: PlanNetwork, joined: tuple[Joined, ...]) -> Faulted:
    """The network with two connectors mated crosswise: each wire on the contact that belongs to the other.

    A wire that meets an empty cavity is open.

    Parameters
    ----------
    built : PlanNetwork
    joined : tuple of Joined
        What meets, as ``harness.lookalikes`` tells it.
    """
    joints = _Joints(built.branches)
    branches = built.branches
    start, end = branches.start.copy(), branches.end.copy()
    broken = np.zeros(len(start), dtype=np.bool_)
    for meeting in joined:
        rows = [joints.of(meeting.near), joints.opposite(joints.of(meeting.far))]
        if rows[0] == rows[1]:
            continue
        if None in rows:
            broken[[row for row in rows if row is not None]] = True
            continue
        one, other = (row for row in rows if row is not None)
        for row, theirs in ((one, other), (other, one)):
            (start if joints.is_at_start(row) else end)[row] = joints.device_node(theirs)
    return Faulted(replace(branches, start=start, end=end), broken)


def look_alikes_swapped(
    built: PlanNetwork, positions: Mapping[str, str], most: int = 40
) -> tuple[tuple[LookAlike, Happening], ...]:
    """What each pair of look-alike connectors does when swapped, in one state, the most dangerous first.

    Parameters
    ----------
    built : PlanNetwork
    positions : mapping of str to str
    most : int
        Pairs looked at, the gravest by the plain rule.
    """
    compare = Comparison(built, positions)
    found = look_alikes(built.plan.wiring)[:most]
    happenings = [(one, compare.with_network(mated(built, one.joined))) for one in found]
    return tuple(sorted(happenings, key=lambda one: -one[1].danger))


class _Joints:
    """Joints of a network by the wire ends and contacts they belong to."""

    def __init__(self, branches: Branches) -> None:
        self.branches = branches
        self._row = {
            element.name.removeprefix("joint at "): branches.row[element.name]
            for element in branches.network.elements
            if element.part is Part.JOINT and element.name.startswith("joint at ")
        }
        self._on: dict[int, list[int]] = {}
        for row in self._row.values():
            self._on.setdefault(self.device_node(row), []).append(row)

    def is_at_start(self, row: int) -> bool:
        """True where the device is at the joint's start."""
        return self.branches.names[row].endswith(" start")

    def device_node(self, row: int) -> int:
        """Node of the device that a joint leads to."""
        return int((self.branches.start if self.is_at_start(row) else self.branches.end)[row])

    def of(self, contact: Contact) -> int | None:
        """The joint of the wire in a contact, at the end that lands on its device."""
        rows = [row for side in ("start", "end") if (row := self._row.get(f"{contact.wire} {side}")) is not None]
        nodes = self.branches.network.nodes
        return next((row for row in rows if nodes[self.device_node(row)].name.startswith(contact.device)), None)

    def opposite(self, row: int | None) -> int | None:
        """Of a wire behind a pair in the loom, the joint of the wire before it; of any other its own."""
        if row is None:
            return None
        name = self.branches.network.nodes[self.device_node(row)].name
        if name.endswith(OUT) and name.removesuffix(OUT) + IN in self.branches.node:
            before = self._on.get(self.branches.node[name.removesuffix(OUT) + IN], [])
            return before[0] if before else None
        return row


class NetworkJudge:
    """Judges connectors that look alike by what the network does once they are swapped.

    Parameters
    ----------
    built : PlanNetwork

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Plan, Vehicle
    >>> NetworkJudge(build_network(size_plan(Plan(Vehicle(), (), (), ()))))(()).text
    'nothing changes'
    """

    def __init__(self, built: PlanNetwork) -> None:
        self.built = built
        self._compared: dict[tuple[tuple[str, str], ...], Comparison] = {}

    def __call__(self, joined: tuple[Joined, ...]) -> Consequence:
        """The gravest of what happens with each circuit concerned switched on, and with everything off.

        Parameters
        ----------
        joined : tuple of Joined
        """
        crossing = tuple(meeting for meeting in joined if not meeting.is_harmless)
        if not crossing:
            return plain_consequence(joined)
        altered = mated(self.built, joined)
        circuits = {c.circuit: None for meeting in crossing for c in (meeting.near, meeting.far) if c.circuit}
        states = {(): None} | {tuple(switched_on(self.built.plan, name).items()): None for name in circuits}
        worst = max((self._compare(state).with_network(altered) for state in states), key=lambda one: one.danger)
        if not worst.danger:
            return Consequence(0.0, "nothing changes that is seen")
        gravest = max(worst.findings, key=lambda found: found.severity == "error")
        words = ", ".join(f"{function} {position}" for function, position in worst.behaviour.positions.items())
        return Consequence(worst.danger / DANGER_PER_RANK, f"{gravest.message} ({words or 'everything off'})")

    def _compare(self, state: tuple[tuple[str, str], ...]) -> Comparison:
        if state not in self._compared:
            self._compared[state] = Comparison(self.built, dict(state))
        return self._compared[state]
