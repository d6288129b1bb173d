"""All states with all faults at once, held against ``solve`` of each: volts, amps, relays, fuses, what floats."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.electrical.sizing import size_plan
from circuits.network.branches import compile_branches
from circuits.network.build import build_network
from circuits.network.elements import Lamp, Network, NetworkError, Node, Part, Relay, Resistor, Source, Switch
from circuits.network.faults import Fault, FaultKind, single_faults, with_faults
from circuits.network.linear import islands_of, net_currents_a
from circuits.network.many_points import solve_all
from circuits.network.solve import solve
from circuits.network.states import sensible_states
from circuits.sheets.starters import STARTERS, load_starter
from tests.circuits.looms import woven_plans
from tests.circuits.network.made import made_network

SAME_V, SAME_A, HELD_A = 1e-6, 1e-7, 1e-9


LEAKY_V = 0.05
"""Where only a blocked junction leads, 1e-11 A out by rounding are 10 mV over its leak, in ``solve`` too."""


def metallic(branches, on):
    """Nodes that something other than a junction leads to."""
    kept = on.copy()
    kept[branches.diodes] = False
    return ~islands_of(
        len(branches.network.nodes), branches.start[kept], branches.end[kept], branches.reference
    ).floating


def hold(branches, states, faults, sample=None, broken=None):
    """Solve all, then as many points as ``sample`` by themselves, and compare everything."""
    points = solve_all(branches, states, faults, broken=broken)
    volt_v, floating = points.nodes_v([node.name for node in branches.network.nodes])
    current_a = points.branches_a(branches.names)
    assert np.isfinite(volt_v).all()
    assert np.isfinite(current_a).all()
    every = [(state, fault) for state in range(len(states)) for fault in range(len(faults))]
    chosen = every if sample is None else random.Random(1).sample(every, min(sample, len(every)))
    for at in chosen:
        fault = faults[at[1]]
        faulted = with_faults(branches, () if fault is None else (fault,))
        out = faulted.broken.copy()
        if broken is not None:
            out[: len(broken)] |= broken
        alone = solve(faulted.branches, states[at[0]], broken=out)
        if not alone.point.is_held:
            continue
        where = (states[at[0]], fault)
        assert np.array_equal(floating[at], alone.point.floating), where
        off_v = np.where(floating[at], 0.0, np.abs(volt_v[at] - alone.point.volt_v))
        leads_there = metallic(faulted.branches, alone.on)
        assert np.max(off_v[leads_there], initial=0.0) < SAME_V, where
        assert np.max(off_v, initial=0.0) < LEAKY_V, where
        assert np.max(np.abs(current_a[at] - alone.point.current_a[: len(branches.start)])) < SAME_A, where
        assert tuple(np.array(points.relays)[points.pulled[at]]) == tuple(
            name for name in points.relays if name in alone.pulled
        ), where
        assert set(np.array(points.relays)[points.oscillating[at]]) == set(alone.oscillating), where
        assert set(np.array(points.fuses)[points.opened[at]]) == set(alone.opened), where
    held = [(s, f) for s, f in every if (s, f) not in points.alone]
    assert all(points.residual_a[at] < HELD_A for at in held)
    return points


@settings(max_examples=12)
@given(plan=woven_plans(), seed=st.integers(0, 1000))
def test_any_plan_with_any_fault_in_any_state_is_solved_as_by_itself(plan, seed):
    built = build_network(size_plan(plan))
    states = [state.positions for state in sensible_states(built.plan)]
    states = random.Random(seed).sample(states, min(4, len(states)))
    hold(built.branches, states, [None, *single_faults(built.branches.network)], sample=12)


@pytest.mark.parametrize("starter", STARTERS)
def test_a_starter_plan_with_any_fault_is_solved_as_by_itself(starter):
    built = build_network(size_plan(load_starter(starter)))
    states = [state.positions for state in sensible_states(built.plan)]
    hold(built.branches, [states[1], states[-1]], [None, *single_faults(built.branches.network)], sample=15)


@pytest.mark.parametrize("seed", range(12))
def test_networks_of_lamps_and_junctions_are_solved_as_by_themselves(seed):
    network = made_network(seed)
    branches = compile_branches(network)
    faults = [None, Fault(FaultKind.REVERSED_BATTERY, "battery")]
    for element in network.elements:
        faults.append(Fault(FaultKind.OPEN_WIRE, element.name))
        if element.part is Part.WIRE:
            faults.append(Fault(FaultKind.CORRODED_JOINT, element.name))
    faults += [Fault(FaultKind.SHORT_TO_GROUND, f"n{node}", "n0") for node in range(1, 14)]
    hold(branches, [{}], faults)


def chain_of_relays():
    """A relay that switches the next, a buzzer, and fuses of which one hangs on the other."""
    names = ["minus", "plus", "bar", "a", "b", "c", "d", "e", "f"]
    elements = (
        Source("battery", "minus", "plus", 12.0, 0.01),
        Resistor("main", "plus", "bar", 0.002, Part.FUSE, rating_a=30.0),
        Switch("key", "bar", "a", "key", ("on",)),
        Resistor("wire a", "a", "b", 0.05),
        Relay("first", "b", "minus", "bar", "c", 85.0),
        Resistor("small", "c", "d", 0.02, Part.FUSE, rating_a=5.0),
        Relay("second", "d", "minus", "bar", "e", 85.0),
        Lamp("lamp", "e", "minus", 12.0, 55.0),
        Switch("press", "bar", "f", "press", ("on",)),
        Relay("buzzer", "f", "minus", "d", "f", 85.0, rest_closed=True),
    )
    return compile_branches(Network(tuple(Node(name) for name in names), elements, "minus"))


def test_relays_and_fuses_move_in_the_same_rounds():
    branches = chain_of_relays()
    rows = [name for name in branches.names if not name.endswith(" coil")]
    faults = [None, *(Fault(FaultKind.OPEN_WIRE, name) for name in rows)]
    faults += [Fault(FaultKind.SHORT_TO_GROUND, name, "minus") for name in ("bar", "a", "b", "c", "d", "e")]
    states = [{}, {"key": "on"}, {"press": "on"}, {"key": "on", "press": "on"}]
    points = hold(branches, states, faults)
    assert points.oscillating.any()
    assert points.opened.any()
    assert not points.alone


@pytest.mark.parametrize("pulled_out", ["small", "lamp", "second contact", "wire a"])
def test_what_is_taken_out_stays_out_in_all_points(pulled_out):
    branches = chain_of_relays()
    faults = [None, *(Fault(FaultKind.OPEN_WIRE, name) for name in branches.names)]
    faults += [Fault(FaultKind.SHORT_TO_GROUND, name, "minus") for name in ("a", "b", "c", "d", "e")]
    broken = np.array([name == pulled_out for name in branches.names])
    hold(branches, [{"key": "on"}, {"key": "on", "press": "on"}], faults, broken=broken)


def test_currents_add_up_to_nothing_at_every_node():
    built = build_network(size_plan(load_starter("closed_car")))
    branches, state = built.branches, sensible_states(built.plan)[-1].positions
    faults = [fault for fault in single_faults(branches.network) if fault.kind is not FaultKind.SHORT_TO_GROUND]
    for current_a in solve_all(branches, [state], faults).branches_a(branches.names)[0]:
        excess_a = net_currents_a(len(branches.network.nodes), branches.start, branches.end, current_a)
        assert np.max(np.abs(excess_a)) < HELD_A


def test_faults_that_give_the_network_another_shape_are_solved_by_themselves():
    branches = chain_of_relays()
    faults = [
        Fault(FaultKind.SHORT_TO_NEIGHBOUR, "b", "e"),
        Fault(FaultKind.SWAPPED, "main", "small"),
        Fault(FaultKind.SHORT_TO_GROUND, "b", "minus"),
        Fault(FaultKind.CORRODED_JOINT, "first coil"),
        Fault(FaultKind.SHORT_TO_GROUND, "c", "minus"),
    ]
    assert set(hold(branches, [{"key": "on"}], faults).alone) == {(0, 0), (0, 1), (0, 3)}


@pytest.mark.parametrize("kind", [FaultKind.OPEN_WIRE, FaultKind.SHORT_TO_GROUND])
def test_a_fault_of_something_that_is_not_there_is_refused(kind):
    with pytest.raises(NetworkError, match="nothing named nothing"):
        solve_all(chain_of_relays(), [{}], [Fault(kind, "nothing")])


def test_no_states_no_faults_and_no_source_are_no_trouble():
    assert solve_all(chain_of_relays(), [], [None]).nodes_v(["plus"])[0].shape == (0, 1, 1)
    assert solve_all(chain_of_relays(), [{}], []).branches_a(["lamp"]).shape == (1, 0, 1)
    dead = compile_branches(Network((Node("a"), Node("b"), Node("c")), (Resistor("wire", "a", "b", 1.0),), "a"))
    hold(dead, [{}, {}], [None, Fault(FaultKind.OPEN_WIRE, "wire"), Fault(FaultKind.SHORT_TO_GROUND, "c", "a")])
