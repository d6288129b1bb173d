"""Each pattern on the Marsh Hare, wire by wire."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from circuits.patterns import expand
from circuits.plan import Circuit, Disposition, FuseFamily, Kind, Plan, Return, Run
from circuits.rules import BuildRules, LengthRules, SizingRules
from circuits.wiring import Wire, Wiring
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, MAIN, RUNS, TAIL, marsh_hare, only, wired_back


def drawn(wiring: Wiring, circuit: str) -> list[str]:
    """Wires of a circuit as ``role: device[terminal] > device[terminal]``."""
    return [f"{w.role.value}: {end(w, 'start')} > {end(w, 'end')}" for w in wiring.wires if w.circuit == circuit]


def end(wire: Wire, which: str) -> str:
    landed = wire.start if which == "start" else wire.end
    return landed.device + (f"[{landed.terminal}]" if landed.terminal else "")


def fuses(plan: Plan, rules: BuildRules | None = None) -> dict[str, float]:
    return {fuse.name: round(fuse.load_a, 3) for fuse in expand(plan, rules).protections}


def test_direct_feed_goes_from_fuse_to_load_and_to_ground_beside_it():
    wiring = expand(only(GAUGES))
    assert drawn(wiring, "gauges") == [
        "load: fuse: gauges > load: instruments at dash",
        "return: load: instruments at dash > ground: dash[31]",
    ]
    there, back = wiring.wires
    assert there.length_m == pytest.approx(0.5 * 1.05 + 2 * 0.10)  # path, slack, both ends
    assert back.length_m == pytest.approx(0.20 * 1.05 + 2 * 0.10)  # the pigtail
    assert (there.colour, back.colour) == ("GN", "BK")
    assert {w.protected_by for w in wiring.wires} == {"gauges"}


def test_switched_load_passes_its_switch():
    wiring = expand(only(HORN))
    assert drawn(wiring, "horn") == [
        "feed: fuse: horn > switch: horn at dash",
        "switched: switch: horn at dash > load: horn at nose",
        "return: load: horn at nose > ground: nose[31]",
    ]
    [path] = wiring.paths
    assert (path.out, path.back) == (("horn/1", "horn/2"), ("horn/3",))
    assert path.contacts == 2 * 3 + 1  # each wire end, and the switch
    assert path.protections == ("horn",)
    assert path.through_chassis


def test_relayed_load_has_power_through_30_and_87_and_a_coil_from_86_to_85():
    published = Path(__file__).parents[2] / "reference" / "relay_terminals_din72552.csv"
    with published.open(encoding="utf-8", newline="") as file:
        meaning = {row["terminal"]: row["meaning"] for row in csv.DictReader(file)}
    assert "output" in meaning["87"]
    assert "feed side" in meaning["86"]
    assert "ground side" in meaning["85"]
    wiring = expand(only(DIP))
    assert drawn(wiring, "dip beam") == [
        "relay power: fuse: dip beam > relay: dip beam[30]",
        "relay coil: fuse: dip beam coil > switch: headlamp at dash",
        "relay coil: switch: headlamp at dash > relay: dip beam[86]",
        "relay coil: relay: dip beam[85] > ground: bulkhead[31]",
        "load: relay: dip beam[87] > splice: dip beam at nose",
        "splice leg: splice: dip beam at nose > load: dip beam at left lamp",
        "splice leg: splice: dip beam at nose > load: dip beam at right lamp",
        "return: load: dip beam at left lamp > ground: nose[31]",
        "return: load: dip beam at right lamp > ground: nose[31]",
    ]
    left, right = wiring.paths
    assert left.out == ("dip beam/1", "dip beam/5", "dip beam/6")  # the coil carries none of the load
    assert right.back == ("dip beam/9",)
    assert left.contacts == 2 * 4 + 1  # each wire end, and the relay


def test_a_relay_without_a_switch_has_its_coil_fed_from_where_the_supply_starts():
    wiring = expand(only(replace(DIP, switch_at="", switch="", feed="ignition")))
    assert drawn(wiring, "dip beam")[1:3] == [
        "relay coil: fuse: dip beam coil > relay: dip beam[86]",
        "relay coil: relay: dip beam[85] > ground: bulkhead[31]",
    ]


def relayed(load_a: float, **changed: object) -> Circuit:
    return replace(HORN, name="fan", relay_at="bulkhead", load_a=load_a, **changed)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "circuit",
    [
        relayed(1.0),
        relayed(9.81),
        relayed(1.0, fuse_a=15.0),
        relayed(1.0, fuse_family=FuseFamily.MAXI_BLADE),
        relayed(1.0, fuse_family=FuseFamily.FUSIBLE_LINK),
        relayed(1.0, fuse_family=FuseFamily.NONE),
    ],
)
def test_a_coil_has_a_control_fuse_of_its_own_whatever_the_load(circuit: Circuit):
    wiring = expand(only(circuit))
    assert fuses(only(circuit))["fan coil"] == 0.2
    coil = [w for w in wiring.wires if w.role == "relay coil"]
    assert {w.protected_by for w in coil} == {"fan coil"}
    assert coil[0].start.device == "fuse: fan coil"


def test_a_control_fuse_takes_no_name_of_another_circuit():
    plan = only(relayed(20.0), replace(HORN, name="fan coil"))
    assert sorted(fuses(plan)) == ["fan", "fan coil", "fan coil fuse"]


def test_a_control_fuse_is_of_the_shops_family_unless_that_is_too_heavy():
    for usual, control in ((FuseFamily.GLASS, FuseFamily.GLASS), (FuseFamily.BOLT_IN, FuseFamily.BLADE)):
        rules = BuildRules(sizing=SizingRules(fuse_family=usual))
        assert [f.family for f in expand(only(relayed(20.0)), rules).protections] == [usual, control]


def test_loads_apart_are_spliced_and_grounded_each_at_its_own_place():
    assert drawn(expand(only(TAIL)), "tail lamps") == [
        "feed: fuse: tail lamps > switch: headlamp at dash",
        "switched: switch: headlamp at dash > splice: tail lamps at tail",
        "splice leg: splice: tail lamps at tail > load: tail lamp at left tail",
        "splice leg: splice: tail lamps at tail > load: tail lamp at right tail",
        "return: load: tail lamp at left tail > ground: left tail[31]",
        "return: load: tail lamp at right tail > ground: right tail[31]",
    ]


def test_a_sender_hangs_on_its_gauge_shares_its_fuse_and_grounds_through_its_body():
    wiring = expand(only(GAUGES, FUEL))
    assert drawn(wiring, "fuel level") == ["load: supply: gauges at dash > load: fuel sender at tail"]
    sender = wiring.wires[-1]
    assert (sender.protected_by, sender.current_a) == ("gauges", 0.1)
    path = wiring.paths[-1]
    assert (path.upstream, path.back, path.through_chassis, path.protections) == ("gauges", (), True, ())
    assert [fuse.name for fuse in wiring.protections] == ["gauges"]


def test_a_sender_with_a_ground_point_or_a_wired_return_has_a_return_wire():
    assert len(drawn(expand(only(GAUGES, replace(FUEL, ground_at="left tail"))), "fuel level")) == 2
    assert drawn(expand(only(GAUGES, wired_back(FUEL))), "fuel level")[1] == (
        "return: load: fuel sender at tail > ground: dash[31]"
    )


def test_a_sender_gets_a_fuse_where_the_plan_forces_one_or_nothing_else_protects_it():
    assert set(fuses(only(GAUGES, replace(FUEL, fuse_a=1.0)))) == {"gauges", "fuel level"}
    assert set(fuses(only(GAUGES, replace(FUEL, fuse_family=FuseFamily.GLASS)))) == {"gauges", "fuel level"}
    assert set(fuses(only(replace(FUEL, feed="ignition")))) == {"fuel level"}


def test_a_feeder_ends_on_the_supply_it_makes_and_has_no_return():
    wiring = expand(only(MAIN, replace(GAUGES, feed="main feed", fuse_family=FuseFamily.NONE)))
    assert drawn(wiring, "main feed") == ["feed: fuse: main feed > supply: main feed at panel"]
    assert drawn(wiring, "gauges")[0] == "load: supply: main feed at panel > load: instruments at dash"
    feeder, gauges = wiring.paths
    assert (feeder.back, feeder.through_chassis, feeder.upstream) == ((), False, "")
    assert gauges.upstream == "main feed"
    assert {w.protected_by for w in wiring.wires} == {"main feed"}


def test_an_unfused_feeder_starts_on_its_bus():
    plan = only(replace(MAIN, fuse_family=FuseFamily.NONE))
    assert drawn(expand(plan), "main feed") == ["feed: supply: battery at battery > supply: main feed at panel"]
    assert expand(plan).wires[0].protected_by is None


def test_a_feeder_with_a_switch_is_an_isolator_and_may_feed_two_panels():
    plan = only(replace(MAIN, switch_at="bulkhead", switch="isolator", load_at=("panel", "nose")))
    assert drawn(expand(plan), "main feed") == [
        "feed: fuse: main feed > switch: isolator at bulkhead",
        "switched: switch: isolator at bulkhead > splice: main feed at bulkhead",
        "splice leg: splice: main feed at bulkhead > supply: main feed at panel",
        "splice leg: splice: main feed at bulkhead > supply: main feed at nose",
    ]


def test_a_wired_return_mirrors_the_way_out_to_where_the_supply_starts():
    wiring = expand(only(wired_back(TAIL)))
    assert drawn(wiring, "tail lamps")[4:] == [
        "return: load: tail lamp at right tail > return splice: tail lamps at tail",
        "return: load: tail lamp at left tail > return splice: tail lamps at tail",
        "return: return splice: tail lamps at tail > ground: panel[31]",
    ]
    left, _ = wiring.paths
    assert left.back == ("tail lamps/6", "tail lamps/7")
    assert not left.through_chassis
    assert [round(w.current_a, 3) for w in wiring.wires[4:]] == [0.417, 0.417, 0.833]


def test_a_wired_return_goes_to_the_ground_point_the_plan_names():
    wiring = expand(only(wired_back(TAIL, ground_at="battery")))
    assert drawn(wiring, "tail lamps")[-1] == "return: return splice: tail lamps at tail > ground: battery[31]"
    assert wiring.wires[-1].path.places == ("tail", "panel", "bulkhead", "battery")


def test_on_a_body_that_cannot_conduct_relay_coils_are_wired_back_too():
    wiring = expand(only(replace(DIP, return_by=Return.WIRED, ground_at=""), chassis_return=False))
    coil_ground = next(w for w in wiring.wires if w.start.terminal == "85")
    assert (coil_ground.end.device, coil_ground.path.places) == ("ground: panel", ("bulkhead", "panel"))
    assert not any(path.through_chassis for path in wiring.paths)


def test_a_named_ground_point_at_the_load_is_a_pigtail():
    wiring = expand(only(replace(GAUGES, ground_at="dash")), BuildRules(lengths=LengthRules(ground_pigtail_m=0.35)))
    assert wiring.wires[-1].path.length_m == 0.35
    assert wiring.wires[-1].length_m == pytest.approx(0.35 * 1.05 + 0.2)


@pytest.mark.parametrize("disposition", [Disposition.KEEP, Disposition.REPAIR])
def test_kept_circuits_have_wires_that_exist(disposition: Disposition):
    wires = expand(only(replace(HORN, disposition=disposition, colour="vt/wh"))).wires
    assert all(wire.is_existing for wire in wires)
    assert [wire.colour for wire in wires] == ["VT/WH", "VT/WH", ""]  # nobody wrote down the return's


@pytest.mark.parametrize("disposition", [Disposition.REMOVE, Disposition.CAP_OFF])
def test_circuits_that_go_have_no_wires_and_no_findings(disposition: Disposition):
    wiring = expand(only(replace(HORN, disposition=disposition, fed_at="nowhere")))
    assert (wiring.wires, wiring.protections, wiring.paths, wiring.devices, wiring.findings) == ((), (), (), (), ())


def test_one_switch_serves_all_circuits_that_name_its_function_and_carries_the_greatest_position():
    high = replace(DIP, name="main beam", load="main beam", switch="headlamp:main", relay_at="")
    low = replace(DIP, relay_at="")
    devices = {device.name: device for device in expand(only(low, high, TAIL)).devices}
    switch = devices["switch: headlamp at dash"]
    assert switch.circuits == ("dip beam", "main beam", "tail lamps")
    # dip with side lamps: 2 × 55 W and 2 × 5 W at 12 V; main alone: 2 × 55 W; side alone: 2 × 5 W
    assert switch.current_a == pytest.approx(120 / 12)
    assert devices["ground: nose"].circuits == ("dip beam", "main beam")


def test_a_switch_that_drives_relays_carries_their_coils_by_position():
    high = replace(DIP, name="main beam", switch="headlamp:main")
    devices = {device.name: device for device in expand(only(DIP, high)).devices}
    assert devices["switch: headlamp at dash"].current_a == pytest.approx(0.2)  # never both coils at once
    assert devices["relay: dip beam"].current_a == pytest.approx(110 / 12)


def test_devices_of_one_kind_at_one_place_are_told_apart_by_name():
    twins = expand(only(replace(HORN, load_at=("nose", "nose"))))
    loads = [device.name for device in twins.devices if device.lands == "load"]
    assert loads == ["load: horn at nose", "load: horn at nose (2)"]


def test_devices_whose_names_would_clash_are_numbered():
    runs = (*RUNS, Run("nose", "nose (2)", 0.1))
    plan = only(replace(HORN, load_at=("nose", "nose")), replace(HORN, name="second", load_at=("nose (2)",)), runs=runs)
    loads = [device.name for device in expand(plan).devices if device.lands == "load"]
    assert loads == ["load: horn at nose", "load: horn at nose (2)", "load: horn at nose (2) (2)"]


def test_the_cast_is_wired_without_an_error():
    wiring = expand(marsh_hare())
    assert {w.circuit for w in wiring.wires} == {circuit.name for circuit in marsh_hare().circuits}
    assert [found.code for found in wiring.findings] == []
    assert len(wiring.wires) == 1 + 9 + 6 + 3 + 2 + 1


def test_a_circuit_fed_by_a_load_circuit_loads_that_ones_wires_too():
    radio = Circuit("radio", "dash", "gauges", "dash", "radio", ("tail",), Kind.ELECTRONICS, load_a=4.0)
    wiring = expand(only(GAUGES, radio, FUEL))
    current = {wire.name: wire.current_a for wire in wiring.wires}
    assert current["gauges/1"] == pytest.approx(4.8)  # the sender's is the gauge's own
    assert current["gauges/2"] == pytest.approx(0.8)  # the radio returns by its own wire
    assert fuses(only(GAUGES, radio, FUEL)) == {"gauges": 4.8, "radio": 4.0}
