"""What holds for the expansion of any plan: lengths, landings, currents, protection, names."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given

from circuits.patterns import expand
from circuits.patterns.protected import has_own_fuse
from circuits.plan import Kind, Plan, Return
from circuits.rules import BuildRules, LengthRules
from circuits.wiring import CurrentPath, End, Lands, Role, Wire, Wiring
from tests.circuits.cast import HORN, marsh_hare
from tests.circuits.looms import woven_plans
from tests.circuits.strategies import plans, sound_plans

RELATIVE = 1e-9  # currents and lengths are sums of a few floats


def wires_of(wiring: Wiring) -> dict[str, Wire]:
    return {wire.name: wire for wire in wiring.wires}


def walk(path: CurrentPath, wires: dict[str, Wire], names: tuple[str, ...]) -> list[End]:
    """Ends passed along wires, having checked that each wire starts on the device where the last one ended."""
    ends: list[End] = []
    for wire in map(wires.__getitem__, names):
        if ends:
            assert wire.start.device == ends[-1].device
            assert wire.start.place == ends[-1].place
        ends += [wire.start, wire.end]
    return ends


@given(plans())
def test_no_plan_that_the_border_lets_in_stops_the_expansion(plan: Plan):
    wiring = expand(plan)
    assert {w.circuit for w in wiring.wires} <= {c.name for c in plan.circuits if c.disposition.is_wired}


@given(woven_plans())
def test_every_circuit_that_stays_and_can_be_routed_is_wired(plan: Plan):
    assert {w.circuit for w in expand(plan).wires} == {c.name for c in plan.circuits if c.disposition.is_wired}


@given(sound_plans())
def test_a_sound_plan_has_no_error(plan: Plan):
    assert [found for found in expand(plan).findings if found.severity == "error"] == []


@given(woven_plans())
def test_the_same_plan_gives_the_same_wiring(plan: Plan):
    assert expand(plan) == expand(replace(plan))


@given(woven_plans())
def test_names_are_unique_and_wires_are_numbered_within_their_circuit(plan: Plan):
    wiring = expand(plan)
    for names in (
        [w.name for w in wiring.wires],
        [d.name for d in wiring.devices],
        [p.name for p in wiring.protections],
    ):
        assert len(names) == len(set(names))
    numbered: defaultdict[str, list[str]] = defaultdict(list)
    for wire in wiring.wires:
        numbered[wire.circuit].append(wire.name)
    for circuit, names in numbered.items():
        assert names == [f"{circuit}/{number}" for number in range(1, len(names) + 1)]


@given(woven_plans())
def test_every_wire_ends_on_devices_at_the_ends_of_its_path(plan: Plan):
    wiring = expand(plan)
    devices = {device.name: device for device in wiring.devices}
    for wire in wiring.wires:
        assert (wire.path.places[0], wire.path.places[-1]) == (wire.start.place, wire.end.place)
        for end in (wire.start, wire.end):
            device = devices[end.device]
            assert (device.lands, device.place) == (end.lands, end.place)
            assert wire.circuit in device.circuits
    landed = {end.device for wire in wiring.wires for end in (wire.start, wire.end)}
    assert {d.name for d in wiring.devices if d.lands is not Lands.FUSE} <= landed


@given(woven_plans())
def test_cut_length_is_the_path_with_slack_and_both_ends(plan: Plan):
    lengths = LengthRules(end_allowance_m=0.15, slack_ratio=0.1, ground_pigtail_m=0.3)
    for wire in expand(plan, BuildRules(lengths=lengths)).wires:
        walked_m = sum(plan.runs[run].length_m for run in wire.path.runs)
        if not wire.path.runs and wire.end.lands is Lands.GROUND:
            walked_m = 0.3
        assert wire.path.length_m == pytest.approx(walked_m)
        assert wire.length_m == pytest.approx(walked_m * 1.1 + 0.3)


@given(woven_plans())
def test_way_out_is_the_shortest_over_each_device_it_must_pass(plan: Plan):
    """New metres against networkx: out over the switch or relay, to each load by the shortest path."""
    graph: nx.MultiGraph = nx.MultiGraph()
    for run in plan.runs:
        graph.add_edge(run.start, run.end, length=run.length_m)
    lengths = dict(nx.all_pairs_dijkstra_path_length(graph, weight="length"))
    wiring = expand(plan)
    wires = wires_of(wiring)
    for path in wiring.paths:
        circuit = wiring.circuit(path.circuit)
        through = circuit.relay_at or circuit.switch_at or circuit.fed_at
        out_m = sum(wires[name].path.length_m for name in path.out)
        assert out_m == pytest.approx(lengths[circuit.fed_at][through] + lengths[through][path.load_at])


@given(woven_plans())
def test_each_load_is_joined_from_supply_to_load_and_back_to_ground(plan: Plan):
    wiring = expand(plan)
    wires = wires_of(wiring)
    paths: defaultdict[str, list[CurrentPath]] = defaultdict(list)
    for path in wiring.paths:
        paths[path.circuit].append(path)
    for circuit in plan.circuits:
        if not circuit.disposition.is_wired:
            continue
        assert tuple(path.load_at for path in paths[circuit.name]) == circuit.load_at
        for path in paths[circuit.name]:
            out, back = walk(path, wires, path.out), walk(path, wires, path.back)
            assert out[0].lands is (Lands.FUSE if has_own_fuse(circuit) else Lands.SUPPLY)
            assert out[0].place == circuit.fed_at
            assert out[-1].lands is (Lands.SUPPLY if circuit.kind is Kind.FEEDER else Lands.LOAD)
            assert out[-1].place == path.load_at
            if back:
                assert back[0].device == out[-1].device
                assert back[-1].lands is Lands.GROUND
            else:
                assert circuit.kind in (Kind.FEEDER, Kind.SENDER)
            assert path.upstream == (circuit.feed if circuit.is_fed_by_circuit else "")
            switched, relayed = bool(circuit.switch_at and not circuit.relay_at), bool(circuit.relay_at)
            assert path.contacts == len(out) + len(back) + switched + relayed


@given(woven_plans())
def test_relays_are_joined_by_the_four_terminals(plan: Plan):
    wiring = expand(plan)
    for circuit in plan.circuits:
        own = [w for w in wiring.wires if w.circuit == circuit.name]
        terminals = Counter(e.terminal for w in own for e in (w.start, w.end) if e.lands is Lands.RELAY)
        if own and circuit.relay_at:
            assert terminals == {"30": 1, "87": 1, "86": 1, "85": 1}
        else:
            assert not terminals


@given(woven_plans())
def test_currents_that_meet_at_a_splice_sum_to_nothing(plan: Plan):
    wiring = expand(plan)
    into: defaultdict[str, float] = defaultdict(float)
    for wire in wiring.wires:
        into[wire.end.device] += wire.current_a
        into[wire.start.device] -= wire.current_a
    splices = [device for device in wiring.devices if device.lands is Lands.SPLICE]
    for splice in splices:
        assert into[splice.name] == pytest.approx(0.0, abs=RELATIVE * splice.current_a * 10)


@given(woven_plans())
def test_a_circuit_returns_the_current_of_its_loads(plan: Plan):
    wiring = expand(plan)
    for circuit in plan.circuits:
        grounded = [
            w.current_a
            for w in wiring.wires
            if w.circuit == circuit.name and w.role is Role.RETURN and w.end.lands is Lands.GROUND
        ]
        if grounded:
            load_a = circuit.load_current_a(plan.vehicle.system_v) * len(circuit.load_at)
            assert sum(grounded) == pytest.approx(load_a)


@given(woven_plans())
def test_a_circuit_carries_its_loads_and_what_is_taken_off_it(plan: Plan):
    """The current that leaves a fuse or supply is that of the loads and of every circuit tapped behind it."""
    wiring = expand(plan)
    for circuit in plan.circuits:
        first = next((w for w in wiring.wires if w.circuit == circuit.name), None)
        if first is None:
            continue
        own_a = circuit.load_current_a(plan.vehicle.system_v) * len(circuit.load_at)
        assert first.current_a >= own_a * (1 - RELATIVE)
        fed = [c for c in plan.circuits if c.feed == circuit.name and c.disposition.is_wired]
        if not fed or circuit.kind is Kind.FEEDER or all(c.kind is Kind.SENDER for c in fed):
            assert first.current_a == pytest.approx(own_a)


@given(woven_plans())
def test_every_wire_behind_a_fuse_is_protected_by_it_and_every_other_by_the_nearest_upstream(plan: Plan):
    wiring = expand(plan)
    fuses = {fuse.name: fuse for fuse in wiring.protections}
    by_name = {circuit.name: circuit for circuit in plan.circuits}
    for wire in wiring.wires:
        at = by_name[wire.circuit]
        if wire.protected_by is not None and wire.role is Role.RELAY_COIL and wire.protected_by != at.name:
            fuse = fuses[wire.protected_by]
            assert fuse.circuit == at.name or not has_own_fuse(at)
            continue
        while not has_own_fuse(at) and at.is_fed_by_circuit and by_name[at.feed].disposition.is_wired:
            at = by_name[at.feed]
        assert wire.protected_by == (at.name if has_own_fuse(at) else None)


@given(woven_plans())
def test_a_fuse_carries_at_least_every_wire_that_starts_on_it(plan: Plan):
    wiring = expand(plan)
    for fuse in wiring.protections:
        from_it = [w.current_a for w in wiring.wires if w.start.device == f"fuse: {fuse.name}"]
        assert from_it
        assert fuse.load_a >= sum(from_it) * (1 - RELATIVE)


@given(woven_plans())
def test_chassis_carries_a_return_only_where_the_body_conducts_and_the_plan_says_so(plan: Plan):
    wiring = expand(plan)
    for path in wiring.paths:
        circuit = wiring.circuit(path.circuit)
        by_chassis = plan.vehicle.chassis_return and circuit.return_by is Return.CHASSIS
        assert path.through_chassis == (by_chassis and circuit.kind is not Kind.FEEDER)


@given(woven_plans())
def test_a_circuit_added_at_the_end_renames_and_recolours_nothing(plan: Plan):
    """Nothing but what must give way to a colour that the plan gives to the new one: that is kept whatever comes."""
    last = plan.circuits[-1]
    before, after = expand(replace(plan, circuits=plan.circuits[:-1])), expand(plan)
    rest = [w for w in after.wires if w.circuit != last.name]
    assert [(w.name, w.role, w.start, w.end, w.path, w.length_m) for w in before.wires] == [
        (w.name, w.role, w.start, w.end, w.path, w.length_m) for w in rest
    ]
    if last.colour not in {w.colour for w in before.wires}:
        assert [w.colour for w in before.wires] == [w.colour for w in rest]


@given(woven_plans())
def test_what_stays_in_the_vehicle_is_not_cut_new(plan: Plan):
    wiring = expand(plan)
    for wire in wiring.wires:
        assert wire.is_existing == (not wiring.circuit(wire.circuit).disposition.is_pulled_new)


def test_fifteen_hundred_circuits_in_a_chain_of_feeds_are_no_trouble():
    plain = replace(HORN, fed_at="nose", switch_at="", switch="")
    chain = [replace(plain, name=f"horn {n}", feed=f"horn {n - 1}" if n else "battery") for n in range(1500)]
    wiring = expand(replace(marsh_hare(), circuits=tuple(chain)))
    assert wiring.wires[0].current_a == pytest.approx(5.0 * 1500)


def test_the_plan_is_left_as_it_was():
    plan = marsh_hare()
    expand(plan)
    assert plan == marsh_hare()
