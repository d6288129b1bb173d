"""Fuses with spares, panel positions, holders, relays and sockets."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.plan import Disposition, FuseFamily
from circuits.wiring import Device, Lands
from estimating.takeoff.parts import PartKind
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.takeoff import take_off
from tests.estimating.takeoff.builders import circuit, fuse_of, sized_plan

NO_SPARES = TakeoffRules(spare_fuses=0, spare_positions_percent=0)


def counted(parts, kind):
    return {part.spec: part.quantity for part in parts if part.kind is kind}


def test_fuses_are_counted_by_family_and_rating_with_spares_for_each():
    circuits = [circuit(name) for name in ("a", "b", "c")]
    fuses = [fuse_of(circuits[0]), fuse_of(circuits[1]), fuse_of(circuits[2], rating_a=7.5)]
    parts = take_off(sized_plan(circuits, fuses=fuses), TakeoffRules(spare_fuses=2))
    assert counted(parts, PartKind.FUSE) == {"blade 7.5 A": 3, "blade 10 A": 4}


@pytest.mark.parametrize("family", [FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK])
def test_bolted_protection_is_not_spared(family):
    main = circuit("main feed")
    parts = take_off(sized_plan([main], fuses=[fuse_of(main, family, 80.0)]))
    assert counted(parts, PartKind.FUSE) == {f"{family} 80 A": 1}


@pytest.mark.parametrize(
    "family", [FuseFamily.MAXI_BLADE, FuseFamily.GLASS, FuseFamily.BOLT_IN, FuseFamily.FUSIBLE_LINK]
)
def test_a_fuse_that_fits_no_panel_gets_a_holder(family):
    main = circuit("main feed")
    parts = take_off(sized_plan([main], fuses=[fuse_of(main, family, 20.0)]))
    assert counted(parts, PartKind.FUSE_HOLDER) == {str(family): 1}
    assert counted(parts, PartKind.PANEL_POSITION) == {}


def test_panel_positions_are_counted_by_the_bus_a_circuit_hangs_on_in_the_end():
    feeder = circuit("dash feeder", feed="ignition")
    circuits = [feeder, circuit("wipers", feed="dash feeder"), circuit("horn", feed="battery")]
    parts = take_off(sized_plan(circuits, fuses=[fuse_of(one) for one in circuits]), NO_SPARES)
    assert counted(parts, PartKind.PANEL_POSITION) == {"blade, battery": 1, "blade, ignition": 2}


def test_a_feed_that_leads_in_a_circle_still_gets_its_position():
    circuits = [circuit("a", feed="b"), circuit("b", feed="a")]
    parts = take_off(sized_plan(circuits, fuses=[fuse_of(one) for one in circuits]), NO_SPARES)
    assert counted(parts, PartKind.PANEL_POSITION) == {"blade": 2}


@given(st.integers(1, 60), st.floats(0, 200))
def test_spare_positions_are_the_share_rounded_up(count, percent):
    circuits = [circuit(f"c{number}") for number in range(count)]
    rules = TakeoffRules(spare_positions_percent=percent)
    parts = take_off(sized_plan(circuits, fuses=[fuse_of(one) for one in circuits]), rules)
    spare = counted(parts, PartKind.PANEL_POSITION).get("blade, spare", 0)
    assert spare >= count * percent / 100 - 1e-6
    assert spare < count * percent / 100 + 1 + 1e-6


def test_spare_positions_are_rounded_up_for_each_panel():
    circuits = [circuit("a"), circuit("b")]
    fuses = [fuse_of(circuits[0], at="dash"), fuse_of(circuits[1], at="engine")]
    parts = take_off(sized_plan(circuits, fuses=fuses), TakeoffRules(spare_positions_percent=10))
    assert counted(parts, PartKind.PANEL_POSITION)["blade, spare"] == 2


def test_a_kept_circuit_keeps_its_fuse_and_a_repaired_one_gets_a_new_fuse_in_the_old_place():
    kept, repaired = circuit("kept", Disposition.KEEP), circuit("repaired", Disposition.REPAIR)
    parts = take_off(sized_plan([kept, repaired], fuses=[fuse_of(kept), fuse_of(repaired, rating_a=15.0)]), NO_SPARES)
    assert counted(parts, PartKind.FUSE) == {"blade 15 A": 1}
    assert counted(parts, PartKind.PANEL_POSITION) == {}


@pytest.mark.parametrize(
    ("current_a", "relay"),
    [
        (0.5, "mini make 12 V 30 A"),
        (30.0, "mini make 12 V 30 A"),
        (30.1, "mini make 12 V 40 A"),
        (40.1, "high-current make 12 V 70 A"),
        (120.0, "contactor 12 V 120 A"),
        (900.0, "contactor 12 V 400 A"),
    ],
)
def test_a_relay_carries_its_load(current_a, relay):
    fan = circuit("fan")
    parts = take_off(sized_plan([fan], devices=[Device("relay: fan", Lands.RELAY, "engine", ("fan",), current_a)]))
    assert counted(parts, PartKind.RELAY) == {relay: 1}
    assert sum(counted(parts, PartKind.RELAY_SOCKET).values()) == 1


def test_a_relay_coil_is_for_the_system_voltage():
    fan = circuit("fan")
    device = Device("relay: fan", Lands.RELAY, "engine", ("fan",), 20.0)
    parts = take_off(sized_plan([fan], devices=[device], system_v=24.0))
    assert counted(parts, PartKind.RELAY) == {"mini make 24 V 30 A": 1}


def test_a_relay_of_kept_circuits_is_not_bought_again():
    fan = circuit("fan", Disposition.KEEP)
    parts = take_off(sized_plan([fan], devices=[Device("relay: fan", Lands.RELAY, "engine", ("fan",), 20.0)]))
    assert counted(parts, PartKind.RELAY) == {}


def test_a_shared_relay_names_only_its_new_circuits():
    old, new = circuit("old", Disposition.KEEP), circuit("new", Disposition.NEW)
    device = Device("relay", Lands.RELAY, "engine", ("old", "new"), 20.0)
    (relay,) = (part for part in take_off(sized_plan([old, new], devices=[device])) if part.kind is PartKind.RELAY)
    assert relay.circuits == ("new",)
    assert math.isclose(relay.quantity, 1)
