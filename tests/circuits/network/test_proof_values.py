"""What a meter should show, against figures worked by hand and against the plan itself."""

from __future__ import annotations

import math
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given, settings

from circuits.electrical.sizing import size_plan
from circuits.network.expected import Expected, in_ampere, in_ohm
from circuits.network.proof_values import ProofValues
from circuits.network.solve import solve
from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
from circuits.sheets import STARTERS, load_starter
from tests.circuits.looms import woven_plans


def read(expected: Expected) -> float:
    assert expected.value is not None
    return expected.value


def lies_within(expected: Expected) -> bool:
    assert expected.low is not None
    assert expected.high is not None
    return expected.low <= read(expected) <= expected.high


def values(*circuits: Circuit) -> ProofValues:
    runs = (Run("panel", "nose", 2.0, "engine bay"), Run("panel", "tail", 4.0, "boot"), Run("panel", "dash", 1.0))
    return ProofValues(size_plan(Plan(Vehicle(), (), runs, circuits)))


LAMPS = Circuit("tail", "rear", "lighting", "panel", "tail lamp", ("tail",), Kind.LAMP, load_w=10.0)
HORN = Circuit(
    "horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=6.0, switch_at="dash", switch="horn"
)
LED = Circuit("work", "rear", "battery", "panel", "work light", ("tail",), Kind.LED, load_w=12.0)


def test_lamp_line_reads_its_cold_filament_with_loads_in_and_open_with_loads_out():
    ohms = values(LAMPS).ohms
    assert ohms.output("tail").value == pytest.approx(1.44, abs=0.2)  # 144/10 hot, a tenth cold
    assert ohms.output("tail", loads_in=False).value == math.inf


def test_no_junction_opens_at_the_low_voltage_of_a_meter():
    assert values(LED).ohms.output("work").value == math.inf


def test_line_behind_a_switch_that_is_off_is_open_and_the_whole_too():
    found = values(HORN, LAMPS)
    assert found.ohms.output("horn").value == math.inf
    assert found.ohms.whole().value == math.inf  # the lighting bus is behind its switch


def test_relay_coil_in_the_line_is_seen_with_the_load_unplugged():
    fan = Circuit("fan", "front", "battery", "panel", "fan", ("nose",), Kind.MOTOR, load_a=15.0, relay_at="panel")
    found = values(fan)
    ohms = [found.ohms.output(fuse.name, loads_in=False).value for fuse in found.plan.fuses]
    coil_ohm = 12.0 / found.plan.rules.sizing.coil_a
    assert any(one == pytest.approx(coil_ohm, rel=0.02) for one in ohms if one is not None)


def test_currents_and_drops_agree_with_ohms_law_for_a_heater():
    heater = Circuit("pane", "rear", "ignition", "panel", "pane", ("tail",), Kind.HEATER, load_a=10.0)
    found = values(heater)
    amps, drop = found.amps("pane"), found.drop("pane")
    assert read(amps) * 1.2 + read(drop) == pytest.approx(12.6, abs=0.15)
    assert amps.allows(10.0)
    assert found.positions("pane") == {"ignition": "run"}


def test_volts_fall_along_a_circuit_that_is_on_and_are_nought_behind_its_open_switch():
    found = values(HORN)
    assert read(next(found.volts({"horn": "on"})).volts) > 12.0
    off = {(one.wire, one.end.device): one.volts.value for one in found.volts({})}
    assert min(abs(value) for value in off.values() if value is not None) < 1e-3


def test_ohms_are_the_resistance_distance_of_the_graph():
    """Against networkx (Klein and Randic 1993), over every part that an ohmmeter sees."""
    heater = Circuit("pane", "rear", "battery", "panel", "pane", ("tail", "dash"), Kind.HEATER, load_a=10.0)
    found = values(heater, replace(LAMPS, feed="battery"))
    branches = found.built.branches
    fuse, minus = branches.row["fuse: pane"], branches.node["battery minus"]
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    for row in range(len(branches.start)):
        part = branches.names[row]
        if row != fuse and part != "battery":
            siemens = branches.conductance_s[row]
            if row in branches.lamps:
                siemens = 10.0 * 10.0 / 144.0  # ten times that of 10 W at 12 V
            graph.add_edge(int(branches.start[row]), int(branches.end[row]), ohm=1.0 / siemens)
    island = graph.subgraph(nx.node_connected_component(nx.Graph(graph), minus))
    distance = nx.resistance_distance(island, int(branches.end[fuse]), minus, weight="ohm")
    assert found.ohms.output("pane").value == pytest.approx(distance, rel=1e-2)


@pytest.mark.parametrize("key", STARTERS)
def test_every_expected_value_of_a_starter_plan_lies_within_its_tolerance(key):
    found = ProofValues(size_plan(load_starter(key)))
    names = [one.circuit.name for one in found.plan.circuits if one.wires]
    told = [found.ohms.output(fuse.name) for fuse in found.plan.fuses[:20]] + [found.key_off(), found.ohms.whole()]
    told += [found.amps(name) for name in names[:12]] + [found.drop(name) for name in names[:12]]
    told += [one.volts for one in found.volts({"ignition": "run"})]
    known = [one for one in told if one.value is not None]
    assert len(known) > len(told) / 2
    assert all(lies_within(one) for one in known)
    assert all(one.basis for one in told)


@settings(max_examples=15)
@given(plan=woven_plans())
def test_any_plan_reads_within_its_own_tolerance_and_as_its_power_says(plan):
    """Least, likely and most are in order; with loads out a line never reads less than with loads in."""
    found = ProofValues(size_plan(plan))
    for one in found.plan.circuits:
        for fuse in filter(None, (one.fuse if one.wires else None,)):
            loaded, bare = found.ohms.output(fuse.name), found.ohms.output(fuse.name, loads_in=False)
            assert bare.value is not None
            if loaded.value is not None:
                assert lies_within(loaded)
                assert loaded.value <= bare.value * (1 + 1e-9)
    names = [one.circuit.name for one in found.plan.circuits if one.wires]
    for name in names[:6]:
        solution = solve(found.built.branches, found.positions(name))
        amps = found.amps(name)
        loads = [load for load in found.built.branches.network.loads if load.circuit == name]
        if amps.value is not None:
            assert amps.value == pytest.approx(sum(abs(solution.load_current_a(load)) for load in loads))
    for end in found.volts({}):
        assert end.volts.value is None or lies_within(end.volts)


def test_tolerance_of_the_meter_alone():
    """1 % and 0.3 ohm; 2 % and 50 mA."""
    found = in_ohm(100.0, 100.0, 100.0, "")
    assert (found.low, found.high) == pytest.approx((98.7, 101.3))
    assert in_ampere(1.0, 0.0, "").high == pytest.approx(1.07)
