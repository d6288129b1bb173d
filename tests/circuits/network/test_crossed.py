"""Cavities swapped and look-alike connectors mated crosswise, against what the wires say."""

from __future__ import annotations

import numpy as np
import pytest

from circuits.electrical.sizing import size_plan
from circuits.harness.lookalikes import look_alikes
from circuits.network.behaviour import Showing, behave
from circuits.network.build import build_network
from circuits.network.crossed import NetworkJudge, look_alikes_swapped, mated, swaps_within
from circuits.network.faults import what_if
from circuits.network.solve import solve
from circuits.network.states import switched_on
from tests.circuits.connected import connected
from tests.circuits.harness.test_lookalikes import PLAN

LAMPS = build_network(size_plan(PLAN))
LOOM = build_network(size_plan(connected()))


def seen_at(built, positions, altered) -> dict[tuple[str, str], Showing]:
    behaviour = behave(built, positions, solve(altered.branches, positions, open_fuses=False, broken=altered.broken))
    return {(one.load.circuit, one.load.place): one.showing for one in behaviour.loads}


def test_swapped_lamps_answer_to_each_others_switch():
    """At the left lamp the dip beam's body sits on the side lamp: with side lights alone the beam lights, if their
    fuse bears it."""
    [pair] = look_alikes(LAMPS.plan.wiring)
    side = switched_on(LAMPS.plan, "side lamps")
    shown = seen_at(LAMPS, side, mated(LAMPS, pair.joined))
    assert shown["dip beam", "left lamp"] is not Showing.OFF
    assert shown["side lamps", "left lamp"] is Showing.OFF
    assert shown["side lamps", "right lamp"] is Showing.ON


def test_mating_twice_crosswise_is_as_designed():
    [pair] = look_alikes(LAMPS.plan.wiring)
    once = mated(LAMPS, pair.joined)
    assert not once.broken.any()
    moved = np.flatnonzero((once.branches.start != LAMPS.branches.start) | (once.branches.end != LAMPS.branches.end))
    assert len(moved) == 4  # two cavities of two bodies
    nodes = np.concatenate((once.branches.start, once.branches.end))
    before = np.concatenate((LAMPS.branches.start, LAMPS.branches.end))
    assert sorted(nodes.tolist()) == sorted(before.tolist())


def test_the_network_judges_look_alikes_and_says_in_which_state():
    [plain], [judged] = look_alikes(LAMPS.plan.wiring), look_alikes(LAMPS.plan.wiring, NetworkJudge(LAMPS))
    assert judged.joined == plain.joined
    assert 0 < judged.consequence.rank <= 7
    assert "lighting on" in judged.consequence.text


def test_swapped_pairs_are_ranked_by_danger_in_a_state():
    [(pair, happening)] = look_alikes_swapped(LAMPS, switched_on(LAMPS.plan, "side lamps"))
    assert (pair.first.name, pair.second.name) == ("C1", "C2")
    assert happening.danger > 0


@pytest.mark.parametrize("connector", ["C2", "C4"])
def test_cavities_swapped_within_a_body_are_ranked_and_a_live_one_on_ground_opens_a_fuse(connector):
    positions = switched_on(LOOM.plan, "dip beam") | switched_on(LOOM.plan, "horn")
    cases = [(fault,) for fault in swaps_within(LOOM, connector)]
    found = what_if(LOOM, positions, cases)
    assert len(found) == len(cases) > 0
    assert [one.danger for one in found] == sorted((one.danger for one in found), reverse=True)
    assert all(one.behaviour.solution.point.is_held for one in found)
    codes = {finding.code for one in found for finding in one.findings}
    assert codes & {"fuse-would-open", "back-feed", "load-dead"}
