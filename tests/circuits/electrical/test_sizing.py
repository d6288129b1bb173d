"""Sizing of whole circuits: one worked through by hand, then each rule on its own."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from circuits.electrical.limits import CRANKING_A
from circuits.electrical.sizing import size_plan, size_wiring
from circuits.errors import TableError
from circuits.plan import Disposition, Duty, FuseFamily, Kind, Return, Run, Vehicle
from circuits.rules import AmpacityBy, BuildRules, Series, SizingRules
from circuits.sized import Limit, SizedCircuit, SizedWire, Trial
from circuits.wiring import Role
from tests.circuits.cast import DIP, GAUGES, HORN, MAIN, marsh_hare, only
from tests.circuits.electrical import looms


def trial(wire: SizedWire, size: str, limit: Limit) -> Trial:
    """The trial of one limit at one size."""
    return next(t for t in wire.tried if t.size == size and t.limit is limit)


def sized_circuit(name: str, circuits: tuple[SizedCircuit, ...]) -> SizedCircuit:
    """The circuit of that name."""
    return next(one for one in circuits if one.circuit.name == name)


def test_whole_example_by_hand() -> None:
    """A 9 A lamp, 12 V, 5 %, 4 m out through 85 °C alone, back by 0.2 m and the body; class 105 °C, AWG.

    1. Fuse: 9 / 0.75 = 12 A, so 15 A blade (4.8 mohm).
    2. Ampacity at 85 °C: sqrt(20/75) = 0.5164 of Table 5: 18 AWG 10.33, 16 AWG 12.91, 14 AWG 18.07 A.
       18 and 16 AWG carry the 9 A, but not the fuse; 14 AWG carries both.
    3. Drop in 14 AWG: copper at 85 + 20 × (9/18.07)² = 89.96 °C, so 9.1905 mohm/m × 1.27494 = 11.717 mohm/m;
       out 4 m × 9 A: 0.4218 V; back 0.2 m × 9 A at 40 °C ambient: 27.18 A of ampacity there (sqrt(65/75)),
       40 + 65 × (9/32.58)² = 44.96 °C, 9.1905 × 1.09808 × 0.2 m × 9 A = 0.0182 V;
       6 joints of 1 mohm: 0.054 V; fuse: 0.0432 V; body of 5 mohm: 0.045 V. Together 0.5822 V = 4.85 %.
    """
    lamp = looms.circuit(load_a=9.0, max_drop_percent=5.0)
    out = looms.wire(1, length_m=4.0, current_a=9.0, ambient_c=85.0)
    back = looms.wire(2, length_m=0.2, current_a=9.0, ambient_c=40.0, role=Role.RETURN)
    way = looms.path(lamp, (out,), (back,), contacts=6, through_chassis=True)
    rules = BuildRules(SizingRules(insulation_class_c=105, contact_ohm=0.001, ampacity_by=AmpacityBy.TABLE))
    sized = size_wiring(looms.wiring((lamp,), (out, back), (looms.fuse(lamp),), (way,), Vehicle()), rules)
    circuit, (first, second) = sized.circuits[0], sized.wires
    assert sized.findings == ()
    assert circuit.fuse is not None
    assert (circuit.fuse.rating_a, circuit.fuse.colour, circuit.current_a) == (15.0, "blue", 9.0)
    assert [wire.conductor.label for wire in sized.wires] == ["14 AWG", "14 AWG"]
    assert trial(first, "16 AWG", Limit.AMPACITY).allowed == pytest.approx(25 * math.sqrt(20 / 75))
    assert trial(first, "16 AWG", Limit.AMPACITY).ok
    assert not trial(first, "16 AWG", Limit.FUSE).ok
    assert first.ampacity_a == pytest.approx(18.07, abs=0.01)
    assert first.conductor_c == pytest.approx(89.96, abs=0.01)
    assert first.drop_v == pytest.approx(0.4218, abs=2e-4)
    assert second.conductor_c == pytest.approx(40 + 65 * (9 / (35 * math.sqrt(65 / 75))) ** 2)
    assert second.drop_v == pytest.approx(0.0182, abs=2e-4)
    assert circuit.drop_v == pytest.approx(0.4218 + 0.0182 + 0.054 + 0.0432 + 0.045, abs=5e-4)
    assert circuit.drop_percent == pytest.approx(4.85, abs=0.01)
    assert trial(first, "14 AWG", Limit.DROP).value == pytest.approx(circuit.drop_percent)
    assert not trial(first, "16 AWG", Limit.DROP).ok


def one_wire(current_a: float = 5.0, *, rules: BuildRules | None = None, **changed: object) -> SizedWire:
    """One wire of a lamp, sized; ``changed`` goes to the wire."""
    lamp = looms.circuit(load_a=current_a)
    wire = looms.wire(1, current_a=current_a, **changed)  # type: ignore[arg-type]
    loom = looms.wiring((lamp,), (wire,), (looms.fuse(lamp),), (looms.path(lamp, (wire,)),))
    return size_wiring(loom, rules or looms.bare_rules()).wires[0]


def test_ampacity_governs_where_nothing_else_is_broken() -> None:
    """36 A unfused: 14 AWG has 35 A, 12 AWG 45."""
    lamp = looms.circuit(load_a=36.0, max_drop_percent=50.0)
    wire = looms.wire(1, current_a=36.0, length_m=0.1, fuse=None)
    loom = looms.wiring((lamp,), (wire,), (), (looms.path(lamp, (wire,), protections=()),))
    sized = size_wiring(loom, looms.bare_rules()).wires[0]
    assert (sized.conductor.label, sized.governed_by) == ("12 AWG", Limit.AMPACITY)


def test_the_limit_broken_by_most_governs() -> None:
    """36 A intermittent on a 40 A fuse: 14 AWG has 35 A and stands a 28 A fuse, 12 AWG 45 and 36; drop allows all."""
    lamp = looms.circuit(load_a=36.0, duty=Duty.INTERMITTENT, max_drop_percent=50.0, kind=Kind.HEATER)
    wire = looms.wire(1, current_a=36.0, length_m=0.1)
    loom = looms.wiring((lamp,), (wire,), (looms.fuse(lamp),), (looms.path(lamp, (wire,)),))
    sized = size_wiring(loom, looms.bare_rules()).wires[0]
    assert sized.conductor.label == "10 AWG"
    assert sized.governed_by is Limit.FUSE
    assert not trial(sized, "14 AWG", Limit.AMPACITY).ok


def test_fuse_governs_where_the_wire_carries_the_load_but_not_the_fuse() -> None:
    """A 25 A fuse on the 25 A of 16 AWG: an overload of 1.35 × 25 A need not open it and would harm 16 AWG."""
    sized = one_wire(17.0, length_m=0.1)
    assert (sized.conductor.label, sized.governed_by) == ("14 AWG", Limit.FUSE)
    assert trial(sized, "16 AWG", Limit.AMPACITY).ok
    assert trial(sized, "16 AWG", Limit.FUSE).allowed == pytest.approx(19.98, abs=0.05)


def test_drop_governs_on_a_long_wire() -> None:
    sized = one_wire(5.0, length_m=12.0)
    assert sized.governed_by is Limit.DROP
    assert not trial(sized, sized.tried[-5].size, Limit.DROP).ok


def test_mechanical_minimum_governs_where_nothing_else_does() -> None:
    rules = BuildRules(SizingRules(sizes=("22 AWG", "20 AWG", "18 AWG"), min_area_mm2=0.75))
    sized = one_wire(0.2, length_m=0.5, rules=rules)
    assert (sized.conductor.label, sized.governed_by) == ("18 AWG", Limit.MECHANICAL)
    refused = trial(sized, "20 AWG", Limit.MECHANICAL)
    assert (refused.value, refused.allowed, refused.ok) == (0.75, 0.5176, False)


def test_smallest_in_stock_is_governed_by_the_mechanical_minimum() -> None:
    sized = one_wire(0.2, length_m=0.5, rules=BuildRules(SizingRules(sizes=("14 AWG", "10 AWG"))))
    assert (sized.conductor.label, sized.governed_by) == ("14 AWG", Limit.MECHANICAL)
    assert {t.size for t in sized.tried} == {"14 AWG"}


def test_tried_lists_each_smaller_size_in_stock_and_the_chosen_one() -> None:
    sized = one_wire(20.0)
    sizes = list(dict.fromkeys(t.size for t in sized.tried))
    assert sizes == ["18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG"][: sizes.index(sized.conductor.label) + 1]
    limits = {Limit.MECHANICAL, Limit.AMPACITY, Limit.FUSE, Limit.DROP}
    assert all({t.limit for t in sized.tried if t.size == size} == limits for size in sizes)
    assert all(t.source for t in sized.tried)


def test_a_wire_in_the_heat_gets_thicker_alone_and_drop_sets_one_level_for_all() -> None:
    lamp = looms.circuit(load_a=14.0, max_drop_percent=50.0)
    cool, hot = looms.wire(1, current_a=14.0, length_m=0.5), looms.wire(2, current_a=14.0, length_m=0.5, ambient_c=95.0)
    loom = looms.wiring((lamp,), (cool, hot), (looms.fuse(lamp),), (looms.path(lamp, (cool, hot)),))
    assert [w.conductor.label for w in size_wiring(loom, looms.bare_rules()).wires] == ["14 AWG", "10 AWG"]
    long = looms.wire(1, current_a=14.0, length_m=60.0)
    loom = looms.wiring((lamp,), (long, hot), (looms.fuse(lamp),), (looms.path(lamp, (long, hot)),))
    labels = [w.conductor.label for w in size_wiring(loom, looms.bare_rules()).wires]
    assert labels[0] == "12 AWG"
    assert labels[1] == "10 AWG"


def test_metric_stock() -> None:
    sized = size_plan(marsh_hare(), BuildRules(SizingRules(series=Series.MM2)))
    assert all(wire.conductor.label.endswith("mm²") for wire in sized.wires)


def test_unknown_stock_is_refused_by_name() -> None:
    with pytest.raises(TableError, match=r"'17\.5 AWG'"):
        size_plan(marsh_hare(), BuildRules(SizingRules(sizes=("17.5 AWG",))))


def test_coil_wires_are_chosen_by_themselves() -> None:
    sized = sized_circuit("dip beam", size_plan(marsh_hare()).circuits)
    coil = [wire for wire in sized.wires if wire.wire.role is Role.RELAY_COIL]
    power = [wire for wire in sized.wires if wire.wire.role is not Role.RELAY_COIL]
    assert coil
    assert all(wire.conductor.label == "18 AWG" for wire in coil)
    assert all(t.limit is not Limit.DROP for wire in coil for t in wire.tried)
    assert min(wire.conductor.area_mm2 for wire in power) > 1.0
    assert sized.coil_fuse is not None


def test_removed_circuits_have_no_wires_and_no_fuse() -> None:
    sized = size_plan(
        only(GAUGES, looms.circuit("old", disposition=Disposition.REMOVE, fed_at="panel", load_at=("dash",)))
    )
    old = sized_circuit("old", sized.circuits)
    assert (old.wires, old.fuse, old.drop_v) == ((), None, 0.0)


def test_kept_circuits_are_sized_as_a_check() -> None:
    kept = replace(HORN, disposition=Disposition.KEEP, size="22 AWG")
    sized = size_plan(only(kept))
    assert all(wire.wire.is_existing for wire in sized.wires)
    assert "forced-size-mechanical" in {finding.code for finding in sized.findings}


def test_results_stand_in_plan_order_and_inputs_stay_as_they_are() -> None:
    plan = marsh_hare()
    before = repr(plan)
    sized = size_plan(plan)
    assert [one.circuit.name for one in sized.circuits] == [circuit.name for circuit in plan.circuits]
    assert repr(plan) == before
    assert size_plan(plan) == sized


def fed_lamp(main_length_m: float, **main: object) -> tuple[SizedCircuit, SizedCircuit]:
    """A feeder and a lamp of 3 % behind it, sized."""
    feeder = looms.circuit("main", 30.0, kind=Kind.FEEDER, fuse_family=FuseFamily.MAXI_BLADE, **main)
    lamp = looms.circuit("lamp", 5.0, feed="main", safety=True)
    trunk = looms.wire(1, circuit="main", length_m=main_length_m, current_a=30.0, fuse="main")
    leg = looms.wire(1, length_m=2.0, current_a=5.0)
    paths = (looms.path(feeder, (trunk,)), looms.path(lamp, (leg,), upstream="main"))
    loom = looms.wiring((lamp, feeder), (leg, trunk), (looms.fuse(lamp), looms.fuse(feeder)), paths)
    fed, feeding = size_wiring(loom, looms.bare_rules()).circuits
    return feeding, fed


def test_a_feeder_has_a_limit_of_its_own() -> None:
    """2 % from generator or battery to the bus, AC 43.13-1B chapter 11, unless the plan sets another."""
    main, lamp = fed_lamp(2.0)
    assert main.drop_limit_percent == 2.0
    assert main.drop_percent <= 2.0
    assert lamp.drop_limit_percent == 3.0
    assert fed_lamp(2.0, max_drop_percent=0.8)[0].drop_limit_percent == 0.8


def test_drop_counts_from_the_panel_that_the_feeder_ends_at() -> None:
    main, lamp = fed_lamp(2.0)
    assert lamp.drop_v == pytest.approx(sum(wire.drop_v for wire in lamp.wires) + 5.0 * 0.01091)  # 7.5 A blade
    assert lamp.supply_drop_percent == pytest.approx(main.drop_percent)
    assert main.supply_drop_percent == 0.0


def test_feeders_in_a_row_add_up_before_the_panel() -> None:
    main = looms.circuit("main", 30.0, kind=Kind.FEEDER)
    panel = looms.circuit("panel", 20.0, feed="main", kind=Kind.FEEDER)
    lamp = looms.circuit("lamp", 5.0, feed="panel")
    wires = tuple(
        looms.wire(1, circuit=one.name, length_m=2.0, current_a=5.0, fuse=one.name) for one in (main, panel, lamp)
    )
    ways = zip((main, panel, lamp), wires, ("", "main", "panel"), strict=True)
    paths = tuple(looms.path(one, (wire,), upstream=upstream) for one, wire, upstream in ways)
    fuses = tuple(looms.fuse(one) for one in (main, panel, lamp))
    sized = size_wiring(looms.wiring((main, panel, lamp), wires, fuses, paths), looms.bare_rules()).circuits
    assert sized[2].supply_drop_percent == pytest.approx(sized[0].drop_percent + sized[1].drop_percent)


def tapped_sender(dials_length_m: float, **dials: object) -> tuple[SizedCircuit, SizedCircuit]:
    """Gauges, and a lamp of 3 % tapped from them on their fuse, sized."""
    gauges = looms.circuit("dials", 5.0, **dials)
    tap = looms.circuit("tap", 2.0, feed="dials", safety=True, fuse_family=FuseFamily.NONE)
    trunk = looms.wire(1, circuit="dials", length_m=dials_length_m, current_a=5.0, fuse="dials")
    leg = looms.wire(1, circuit="tap", length_m=2.0, current_a=2.0, fuse="dials")
    paths = (looms.path(gauges, (trunk,)), looms.path(tap, (leg,), protections=(), upstream="dials"))
    loom = looms.wiring((gauges, tap), (trunk, leg), (looms.fuse(gauges),), paths)
    first, second = size_wiring(loom, looms.bare_rules()).circuits
    return first, second


def test_drop_of_a_tapped_circuit_counts_for_what_is_tapped() -> None:
    dials, tap = tapped_sender(2.0)
    assert tap.drop_v == pytest.approx(dials.drop_v + sum(wire.drop_v for wire in tap.wires))


def test_sizes_behind_a_tap_count_on_its_allowance_not_on_its_drop() -> None:
    """So the wire behind is the same whatever size the tapped circuit ends up in."""
    short, long = tapped_sender(0.2), tapped_sender(2.0)
    assert short[0].drop_percent < 0.9 * long[0].drop_percent
    tried = [trial(tap.wires[0], "18 AWG", Limit.DROP).value for _, tap in (short, long)]
    assert tried[0] == pytest.approx(tried[1])


def test_a_tapped_circuit_of_forced_size_counts_with_its_real_drop() -> None:
    _, thick = tapped_sender(2.0, size="4/0 AWG")
    _, thin = tapped_sender(2.0, size="14 AWG")
    limits = [trial(tap.wires[0], tap.wires[0].conductor.label, Limit.DROP).value for tap in (thick, thin)]
    assert limits[0] < limits[1]


def test_a_circuit_without_a_fuse_is_held_against_the_fuse_upstream() -> None:
    """A 0.1 A sender on a gauge's 2 A fuse; then the same on a 30 A one."""
    for rating_a, expected in ((2.0, 2.0), (30.0, 30.0)):
        gauge = looms.circuit("gauge", 1.0, fuse_a=rating_a)
        sender = looms.circuit("sender", 0.1, feed="gauge", kind=Kind.SENDER, fuse_family=FuseFamily.NONE)
        wires = (looms.wire(1, circuit="gauge", current_a=1.0, fuse="gauge"),)
        lead = looms.wire(1, circuit="sender", current_a=0.1, fuse="gauge")
        paths = (looms.path(gauge, wires), looms.path(sender, (lead,), protections=(), upstream="gauge"))
        loom = looms.wiring((gauge, sender), (*wires, lead), (looms.fuse(gauge),), paths)
        sized = size_wiring(loom, looms.bare_rules()).wires[1]
        assert sized.tried[-2].limit is Limit.FUSE
        assert sized.tried[-2].value == expected
        assert sized.ampacity_a >= expected


def cranking(load_a: float) -> SizedWire:
    """A starter's cable by the battery, 0.4 m each way."""
    starter = looms.circuit(
        "starter", load_a, kind=Kind.MOTOR, duty=Duty.INTERMITTENT, fuse_family=FuseFamily.NONE, max_drop_percent=50.0
    )
    cable = looms.wire(1, circuit="starter", current_a=load_a, length_m=0.4, ambient_c=60.0, fuse=None)
    loom = looms.wiring((starter,), (cable,), (), (looms.path(starter, (cable,), protections=()),))
    return size_wiring(loom, looms.bare_rules()).wires[0]


def test_a_cranking_cable_is_held_to_short_time_heating() -> None:
    """400 A for 30 s at k = 87.4 (105 to 160 °C): 400 × sqrt(30) / 87.4 = 25.06 mm² of copper: 2 AWG (31.6)."""
    sized = cranking(400.0)
    tried = trial(sized, sized.conductor.label, Limit.SHORT_TIME)
    assert tried.value == pytest.approx(25.06, abs=0.02)
    assert sized.conductor.label == "2 AWG"
    assert tried.allowed == pytest.approx(31.64, abs=0.01)
    assert sized.governed_by is Limit.SHORT_TIME


def test_a_cranking_cable_is_never_thinner_than_that_of_a_slightly_smaller_load() -> None:
    below, at = cranking(CRANKING_A - 0.01), cranking(CRANKING_A)
    assert below.conductor.area_mm2 <= at.conductor.area_mm2


def test_chassis_return_of_a_conductive_body_and_wired_return_differ_by_the_way_back() -> None:
    chassis = sized_circuit("dip beam", size_plan(only(DIP)).circuits)
    wired = sized_circuit("dip beam", size_plan(only(replace(DIP, return_by=Return.WIRED))).circuits)
    assert wired.wires[-1].conductor.area_mm2 >= chassis.wires[-1].conductor.area_mm2
    assert len(wired.wires) >= len(chassis.wires)


def test_bundles_and_fuses_come_with_the_plan() -> None:
    sized = size_plan(marsh_hare())
    assert len(sized.bundles) == len(sized.wiring.plan.runs)
    assert {fuse.name for fuse in sized.fuses} >= {circuit.circuit.name for circuit in sized.circuits if circuit.fuse}


def test_a_run_as_hot_as_the_class_takes_the_thickest_in_stock() -> None:
    sized = size_plan(only(GAUGES, runs=(Run("panel", "dash", 1.0, "near exhaust"),)), looms.bare_rules())
    assert {wire.conductor.label for wire in sized.wires} == {"4/0 AWG"}
    assert all(wire.ampacity_a == 0.0 for wire in sized.wires)


def test_main_feed_of_the_marsh_hare_carries_its_fuse() -> None:
    main = sized_circuit(MAIN.name, size_plan(marsh_hare()).circuits)
    assert main.fuse is not None
    assert main.fuse.rating_a == 60.0
    assert all(wire.ampacity_a >= 60.0 for wire in main.wires)
