"""Loads do what the plan wants in every state as built, and what the trade knows of lost grounds once it is faulted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from circuits.electrical.sizing import size_plan
from circuits.network.behaviour import Showing, behave
from circuits.network.build import build_network
from circuits.network.faults import Fault, FaultKind, single_faults, what_if, with_faults
from circuits.network.solve import solve
from circuits.network.states import sensible_states
from circuits.plan import Circuit, Kind
from circuits.sheets.starters import STARTERS, load_starter
from tests.circuits.cast import DIP, TAIL, marsh_hare, only

BRAKE = Circuit(
    "brake lamps", "rear", "battery", "panel", "brake lamp", ("left tail", "right tail"), Kind.LAMP, load_w=21.0,
    switch_at="dash", switch="brake", ground_at="tail",
)  # fmt: skip
REAR = (replace(TAIL, ground_at="tail"), BRAKE)
NIGHT = {"ignition": "run", "lighting": "on", "headlamp": "dip"}


def codes(findings) -> set[str]:
    """Codes of findings."""
    return {found.code for found in findings}


def of_circuit(behaviour, circuit):
    """What is seen of a circuit's loads."""
    return [seen for seen in behaviour.loads if seen.load.circuit == circuit]


@pytest.mark.parametrize("key", STARTERS)
def test_a_starter_plan_does_what_it_wants_in_every_state(key):
    built = build_network(size_plan(load_starter(key)))
    states = sensible_states(built.plan)
    assert len(states) > 40
    for state in states:
        behaviour = behave(built, state.positions)
        assert behaviour.solution.point.residual_a < 1e-9, state.name
        assert behaviour.findings == (), state.name


def test_the_relay_lights_the_dip_beam_only_with_bus_and_switch():
    built = build_network(size_plan(marsh_hare()))
    for positions, lit in (({}, False), ({"headlamp": "dip"}, False), ({"lighting": "on"}, False), (NIGHT, True)):
        behaviour = behave(built, positions)
        beams = of_circuit(behaviour, DIP.name)
        assert [seen.showing is Showing.ON for seen in beams] == [lit, lit]
        assert ("relay: dip beam" in behaviour.solution.pulled) is lit
        assert behaviour.findings == ()


def test_a_lost_ground_lets_the_brake_lamps_feed_the_tail_lamps_backwards():
    """The classic: through the tail lamps to the lighting bus, and by the dash lamps there to a sound ground."""
    tail = replace(TAIL, switch_at="", switch="", ground_at="tail")
    dash = Circuit("dash lamps", "dash", "lighting", "panel", "dash lamp", ("dash",), Kind.LAMP, load_w=10.0)
    built = build_network(size_plan(only(tail, BRAKE, dash)))
    assert behave(built, {"brake": "on"}).findings == ()
    (lost,) = what_if(built, {"brake": "on"}, [(Fault(FaultKind.LOST_GROUND, "ground: tail to body"),)])
    assert all(seen.current_a < -0.05 for seen in of_circuit(lost.behaviour, TAIL.name))
    assert {seen.showing for seen in of_circuit(lost.behaviour, dash.name)} == {Showing.DIM}
    assert {seen.showing for seen in of_circuit(lost.behaviour, BRAKE.name)} == {Showing.OFF}
    assert {"back-feed", "load-unintended", "load-dead"} <= codes(lost.findings)
    assert lost.danger >= 40


def test_a_short_to_ground_opens_its_fuse_and_no_other():
    built = build_network(size_plan(marsh_hare()))
    (short,) = what_if(built, {}, [(Fault(FaultKind.SHORT_TO_GROUND, "gauges/1 end", "body"),)])
    assert short.findings == ()  # the ignition is off: nothing feeds it
    (short,) = what_if(built, {"ignition": "run"}, [(Fault(FaultKind.SHORT_TO_GROUND, "gauges/1 end", "body"),)])
    assert short.behaviour.solution.opened == ("fuse: gauges",)
    assert {"fuse-would-open", "load-dead"} <= codes(short.findings)


def test_a_corroded_joint_dims_its_lamps_alone():
    built = build_network(size_plan(only(*REAR)))
    (bad,) = what_if(
        built, {"brake": "on"}, [(Fault(FaultKind.CORRODED_JOINT, "joint at brake lamps/2 end", ohm=2.0),)]
    )
    assert {seen.showing for seen in of_circuit(bad.behaviour, BRAKE.name)} == {Showing.DIM}
    assert codes(bad.findings) == {"load-dim"}


def test_a_reversed_battery_is_named_and_turns_every_current():
    built = build_network(size_plan(marsh_hare()))
    (turned,) = what_if(built, {"ignition": "run"}, [(Fault(FaultKind.REVERSED_BATTERY, "battery"),)])
    assert "network-reversed" in codes(turned.findings)
    (gauges,) = of_circuit(turned.behaviour, "gauges")
    assert gauges.current_a < 0


def test_swapped_cavities_let_each_switch_work_the_other_load():
    fans = tuple(
        Circuit(
            name, "dash", "battery", "panel", name, ("nose",), Kind.MOTOR, load_a=2.0, switch_at="dash", switch=name
        )
        for name in ("left fan", "right fan")
    )
    built = build_network(size_plan(only(*fans)))
    swap = Fault(FaultKind.SWAPPED, "joint at left fan/2 start", "joint at right fan/2 start")
    (swapped,) = what_if(built, {"left fan": "on"}, [(swap,)])
    assert {found.circuit: found.code for found in swapped.findings} == {
        "left fan": "load-dead",
        "right fan": "load-unintended",
    }


def test_every_single_fault_of_a_plan_can_be_solved():
    built = build_network(size_plan(marsh_hare()))
    faults = list(single_faults(built.branches.network))
    assert {fault.kind for fault in faults} >= {FaultKind.LOST_GROUND, FaultKind.OPEN_WIRE, FaultKind.BLOWN_FUSE}
    for fault in faults:
        faulted = with_faults(built.branches, [fault])
        solution = solve(faulted.branches, NIGHT, broken=faulted.broken)
        assert solution.point.residual_a < 1e-9, fault.text


def test_the_worst_comes_first():
    built = build_network(size_plan(marsh_hare()))
    ranked = what_if(built, NIGHT, [(fault,) for fault in single_faults(built.branches.network)])
    dangers = [one.danger for one in ranked]
    assert dangers == sorted(dangers, reverse=True)
    assert ranked[0].danger >= 90
